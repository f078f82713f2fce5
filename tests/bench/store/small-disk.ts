import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Whether this machine lets us mount an image: root, and a kernel with loop devices. */
export const mayMount = (): boolean => {
  if (process.getuid?.() !== 0) return false;
  try {
    const disk = SmallDisk.make(8);
    disk.remove();
    return true;
  } catch {
    return false;
  }
};

export const whyNoMount = 'needs root and loop devices, to mount a disk image';

/** An ext4 file system of its own, in an image file that is mounted while it lives. */
export class SmallDisk {
  readonly mount: string;
  private readonly image: string;
  private readonly folder: string;

  private constructor(folder: string) {
    this.folder = folder;
    this.image = join(folder, 'disk.img');
    this.mount = mkdtempSync(join(folder, 'mount-'));
  }

  static make(megabytes: number): SmallDisk {
    const disk = new SmallDisk(mkdtempSync(join(tmpdir(), 'elbowroom-disk-')));
    execFileSync('truncate', ['-s', `${megabytes}M`, disk.image]);
    execFileSync('mkfs.ext4', ['-q', '-m', '0', disk.image]);
    disk.attach();
    return disk;
  }

  /** What a power cut at this moment would leave on the disk, mounted beside it: only what had reached the device. */
  asAfterPowerCut(): SmallDisk {
    const copy = new SmallDisk(mkdtempSync(join(tmpdir(), 'elbowroom-cut-')));
    copyFileSync(this.image, copy.image);
    copy.attach();
    return copy;
  }

  remove(): void {
    spawnSync('umount', [this.mount]);
    rmSync(this.folder, { recursive: true, force: true });
  }

  private attach(): void {
    try {
      execFileSync('mount', ['-o', 'loop', this.image, this.mount], { stdio: 'pipe' });
    } catch (cause) {
      rmSync(this.folder, { recursive: true, force: true });
      throw cause;
    }
  }
}
