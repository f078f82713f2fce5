import { readFile, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import { stringify } from 'yaml';
import { checkYaml, NodeError } from '../../node/index.js';
import { makeFolder } from '../files/make-folder.js';
import { PlanError } from '../plan/allocate.js';
import { answersSchema, type PlanAnswers } from '../plan/answers.js';
import { exampleAnswers } from '../plan/example-answers.js';
import { kitFile } from '../plan/kit-file.js';
import { makePlan } from '../plan/make-plan.js';
import type { Plan } from '../plan/plan.js';
import { planText } from '../plan/plan-text.js';
import { askAll } from '../plan/questions.js';
import { sketchesFor } from '../plan/sketches.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { interview } from './ask.js';
import { defineCommand } from './define-command.js';
import { InterruptedError, UnavailableError, UsageError } from './exit.js';
import { summaries } from './summaries.js';
import { proseWidth } from './terminal-width.js';
import { flagOption } from './usual-options.js';

/** Columns of plan.txt, which is printed on paper. */
const sheetWidth = 100;

export const planCommand = defineCommand({
  ...summaries.plan,
  when: 'Before a part is bought. It asks, or reads a file of answers, and ends in a kit.yaml that is ready to use.',
  caution:
    "Hot exhaust burns, exhaust leaks carbon monoxide, a 12 V short makes fires. The plan repeats the cautions; follow local codes and the engine maker's instructions first.",
  builder: (yargs) =>
    yargs
      .option('answers', { type: 'string', nargs: 1, describe: 'File with the answers (YAML); - is stdin' })
      .option('example', flagOption('Print a file of answers to start from'))
      .option('out', { type: 'string', describe: 'Folder for kit.yaml, plan.txt and the wiring drawings' })
      .option('force', flagOption('Overwrite an existing kit.yaml'))
      .option('json', flagOption('The plan as one JSON document'))
      .example('$0 plan', 'Asks nine to eleven questions')
      .example('$0 plan --example > answers.yaml', 'A file to change')
      .example('$0 plan --answers answers.yaml --out kit', 'Writes kit/kit.yaml and the drawings'),
  handler: async (options) => {
    if (options.example) {
      process.stdout.write(exampleAnswers);
      return;
    }
    const answers = options.answers === undefined ? await askHere() : await readAnswers(options.answers);
    const plan = planned(answers);
    const degrees = chosenDegrees({ degrees: options.degrees });
    const sheet = planText(plan, { degrees, width: sheetWidth });
    if (options.json) console.log(JSON.stringify({ ...plan, allocation: plain(plan), kit: kitFile(plan) }));
    else console.log(planText(plan, { degrees, width: proseWidth() }));
    // Last, so that the next step stays on the screen below the plan.
    if (options.out !== undefined) return writePlan(plan, sheet, options.out, options.force);
    const folder = options.answers === undefined && !options.json ? await askFolder() : undefined;
    if (folder !== undefined) await writePlan(plan, sheet, folder, options.force);
    else if (options.answers === undefined)
      console.error(`\nNothing was written. Your answers, for a file answers.yaml:\n\n${stringify(answers)}`);
    else console.error('\nTo write kit.yaml and the wiring drawings: add --out FOLDER');
  },
});

/** Where to write the plan; undefined for no files. */
const askFolder = async (): Promise<string | undefined> => {
  const typed = await interview((ask) =>
    ask('\nFolder for kit.yaml, the drawings and your answers, or no [kit]: '),
  ).catch((error: unknown) => {
    if (error instanceof InterruptedError) return 'no';
    throw error;
  });
  const folder = typed.trim() || 'kit';
  return /^no?$/i.test(folder) ? undefined : folder;
};

/** A path as a shell takes it, quoted where it must be. */
const inShell = (path: string) => (/^[\w./\\:~-]+$/.test(path) ? path : `'${path.replaceAll("'", `'\\''`)}'`);

/** A Map does not survive JSON. */
const plain = ({ allocation }: Plan) => ({
  ...allocation,
  connections: Object.fromEntries(allocation.connections),
});

const planned = (answers: PlanAnswers): Plan => {
  try {
    return makePlan(answers);
  } catch (error) {
    if (error instanceof PlanError || error instanceof RangeError) throw new UsageError(error.message);
    throw error;
  }
};

const askHere = async (): Promise<PlanAnswers> => {
  if (!process.stdin.isTTY)
    throw new UsageError(
      'The questions need a terminal, and stdin is not one. Give a file: elbowroom plan --example > answers.yaml, change it, then elbowroom plan --answers answers.yaml',
    );
  return interview((ask) => askAll(ask, (words) => console.error(words)));
};

const readAnswers = async (path: string): Promise<PlanAnswers> => {
  try {
    const text = path === '-' ? await readStdin() : await readFile(path, 'utf8');
    return checkYaml(text, answersSchema, {
      file: path === '-' ? 'stdin' : path,
      next: 'A file that fits: elbowroom plan --example',
    });
  } catch (error) {
    if (error instanceof NodeError) throw new UsageError(error.message);
    throw new UsageError(`${path} cannot be read: ${(error as Error).message}`);
  }
};

const readStdin = async (): Promise<string> => {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks).toString('utf8');
};

const writePlan = async (plan: Plan, words: string, folder: string, force: boolean): Promise<void> => {
  const kitPath = join(folder, 'kit.yaml');
  const there = await stat(kitPath).catch(() => undefined);
  if (there && !force)
    throw new UsageError(`${kitPath} already exists. Choose another folder, or add --force to overwrite it.`);
  try {
    makeFolder(join(folder, 'wiring'));
    for (const [name, svg] of sketchesFor(plan)) await writeFile(join(folder, 'wiring', name), svg);
    await writeFile(join(folder, 'plan.txt'), `${words}\n`);
    await writeFile(join(folder, 'planned-answers.yaml'), stringify(plan.answers));
    await writeFileAtomic(kitPath, kitFile(plan));
  } catch (error) {
    throw new UnavailableError(`${folder} cannot be written: ${(error as Error).message}`);
  }
  console.error(
    `Wrote ${kitPath}, plan.txt, planned-answers.yaml and ${sketchesFor(plan).size} drawings in ${join(folder, 'wiring')}.`,
  );
  console.error(`Next: build it after hardware-notes/, then run: elbowroom wiring --kit ${inShell(kitPath)}`);
};
