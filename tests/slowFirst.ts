import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Files that take ten seconds and more. Left to the end, one core would work on them alone. */
const SLOW = [
  'notebooks/execute',
  'validation/real',
  'browser/page.browser',
  'chart/chartCreek',
  'safety/hostileText',
  'judge/shift',
  'safety/killed',
  'docs/samples',
  'show/cli/built',
  'browser/trust.browser',
  'show/workers/runOnCores',
  'tests/readme',
];

/** The slow files first, the others as ever. */
export class SlowFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const at = SLOW.findIndex((name) => moduleId.includes(name));
      return at < 0 ? SLOW.length : at;
    };
    return (await super.sort(files)).sort((a, b) => place(a) - place(b));
  }
}
