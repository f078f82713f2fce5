import type { Reporter, TestModule, Vitest } from 'vitest/node';

/**
 * Names and counts every test that did not run, with the reason it gave. Where CI is set each is a failure: there the
 * machine must have what the tests need.
 */
export default class NameTheSkipped implements Reporter {
  private namesGiven = false;

  onInit(vitest: Vitest): void {
    this.namesGiven = vitest.config.testNamePattern !== undefined;
  }

  onTestRunEnd(modules: readonly TestModule[]): void {
    const skipped = modules.flatMap((module) =>
      [...module.children.allTests('skipped')].map((test) => {
        const result = test.result();
        const why = result.state === 'skipped' ? result.note : undefined;
        return `${module.moduleId.replace(/^.*\/tests\//, 'tests/')}: ${test.fullName} (${why ?? 'no reason given'})`;
      }),
    );
    if (skipped.length === 0 || this.namesGiven) return;
    console.log(`\nNot run: ${skipped.length}\n${skipped.map((line) => `  ${line}`).join('\n')}`);
    if (!process.env.CI) return;
    console.log('CI is set, so each of these is a failure.');
    process.exitCode = 1;
  }
}
