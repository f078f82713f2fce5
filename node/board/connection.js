import { BoardError } from './board-error.js';
import { firmataBaud, openSerialPort } from './serial-port.js';
import { tcpOpener } from './tcp-port.js';
import { isLikelyBoard, listUsbPorts, makerOf } from './usb-ports.js';
const realSurroundings = {
    listUsbPorts: () => listUsbPorts(),
    openSerial: (path) => openSerialPort(path, firmataBaud),
};
/**
 * Makes an opener from what stands in kit.yaml: `auto`, a serial path, or tcp://host:port.
 * Throws BoardError `bad-connection` for anything else.
 */
export function openerFor(connection, surroundings = realSurroundings) {
    if (connection === 'auto')
        return autoOpener(surroundings);
    if (connection.startsWith('tcp://')) {
        const { host, port } = parseTcpAddress(connection);
        return tcpOpener(host, port);
    }
    if (/^(\/|COM\d+$)/i.test(connection))
        return pathOpener(connection, surroundings);
    throw new BoardError('bad-connection', `The board connection "${connection}" is not understood. Give auto, a serial path such as /dev/ttyACM0 or COM3, or tcp://host:port.`);
}
function parseTcpAddress(connection) {
    const match = /^tcp:\/\/(?:\[([^\]]+)\]|([^:/]+)):(\d{1,5})\/?$/.exec(connection);
    const host = match?.[1] ?? match?.[2];
    const port = Number(match?.[3]);
    if (host === undefined || port < 1 || port > 65535)
        throw new BoardError('bad-connection', `The board connection "${connection}" is not a host and a port from 1 to 65535. Example: tcp://127.0.0.1:8473`);
    return { host, port };
}
/** Tries the USB ports that could be a board in turn, the one that last carried the firmware first. */
function autoOpener({ listUsbPorts: list, openSerial }) {
    let known;
    let turn = 0;
    return {
        label: 'auto',
        async open() {
            const paths = (await list()).filter(isLikelyBoard).map((port) => port.path);
            if (paths.length === 0)
                throw new Error('No Arduino-class board is plugged in. Check the USB cable (it must carry data), or give the serial path.');
            const path = paths.find((one) => one === known) ?? paths[turn++ % paths.length];
            known = undefined;
            return openSerial(path);
        },
        carriesFirmware(label) {
            known = label;
        },
    };
}
/** Opens one path, and follows its device when the system gives it another name after a replug. */
function pathOpener(path, { listUsbPorts: list, openSerial }) {
    let device;
    return {
        label: path,
        async open() {
            const ports = await list().catch(() => []);
            const atPath = ports.find((port) => port.path === path);
            device ??= atPath;
            if (atPath === undefined && device !== undefined) {
                const moved = ports.filter((port) => isSameDevice(port, device));
                if (moved.length > 1)
                    throw new Error(`${path} is gone and ${moved.length} boards (${makerOf(device)}) look like it: ${moved.map((port) => port.path).join(', ')}. Give the path under /dev/serial/by-id.`);
                if (moved[0] !== undefined)
                    return openSerial(moved[0].path);
            }
            return openSerial(path);
        },
    };
}
const isSameDevice = (a, b) => a.vendorId === b.vendorId && a.productId === b.productId && a.serialNumber === b.serialNumber;
//# sourceMappingURL=connection.js.map