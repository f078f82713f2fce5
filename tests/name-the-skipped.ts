import type { Reporter, TestModule, Vitest } from 'vitest/node';

/** Of one lane, on a busy machine; where more need a second try, something is wrong with the tests. */
const mostRetried = 4;

/**
 * Names and counts every test that did not run, with the reason it gave, and every one that passed only when tried
 * again. Where CI is set a skipped test is a failure: there the machine must have what the tests need.
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
    const retried = modules.flatMap((module) =>
      [...module.children.allTests('passed')]
        .filter((test) => (test.diagnostic()?.retryCount ?? 0) > 0)
        .map((test) => `${module.moduleId.replace(/^.*\/tests\//, 'tests/')}: ${test.fullName}`),
    );
    if (retried.length > 0)
      console.log(
        `\nPassed only when tried again: ${retried.length}\n${retried.map((line) => `  ${line}`).join('\n')}`,
      );
    if (retried.length > mostRetried) process.exitCode = 1;
    if (skipped.length === 0 || this.namesGiven) return;
    console.log(`\nNot run: ${skipped.length}\n${skipped.map((line) => `  ${line}`).join('\n')}`);
    if (!process.env.CI) return;
    console.log('CI is set, so each of these is a failure.');
    process.exitCode = 1;
  }
}
