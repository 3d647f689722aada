import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Files that take ten seconds and more. Left to the end, one core would work on them alone. */
export const SLOW = [
  'notebooks/execute',
  'validation/real',
  'chart/chartCreek',
  'docs/samples',
  'pack/pack',
  'tests/readme',
  'browser/page.browser',
  'safety/hostileText',
  'show/workers/corePool',
  'judge/refits/refits',
  'judge/shift',
  'safety/killed',
  'show/cli/built',
  'reproducible/sameBytes',
];

/** The slow files first, then project after project: files that share a process have to follow each other. */
export class SlowFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const at = SLOW.findIndex((name) => moduleId.includes(name));
      return at < 0 ? SLOW.length : at;
    };
    const project = (file: TestSpecification): number => PROJECTS.indexOf(file.project.name);
    return (await super.sort(files)).sort((a, b) => place(a) - place(b) || project(a) - project(b));
  }
}

/** Processes of their own first: the shared ones then end the run, one file at a time on each core. */
const PROJECTS = ['alone', 'plain', 'st-johns', 'lord-howe'];
