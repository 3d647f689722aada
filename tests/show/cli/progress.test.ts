import { describe, expect, it } from 'vitest';
import type { CliIo } from '../../../src/show/cli/cliIo.js';
import { showProgress } from '../../../src/show/cli/showProgress.js';

/** What the plain lines say for a run of progress reports. */
function linesFor(reports: readonly { done: number; total: number; label: string }[]): readonly string[] {
  const lines: string[] = [];
  const io: CliIo = {
    out: () => undefined,
    err: (text) => void lines.push(text),
    outIsTerminal: false,
    errIsTerminal: false,
    columns: 80,
    env: {},
  };
  const show = showProgress(io);
  for (const report of reports) show.update(report);
  show.stop();
  return lines;
}

describe('progress where no terminal is', () => {
  it('says a line for every tenth, and no more', () => {
    const reports = Array.from({ length: 201 }, (_, i) => ({ done: i / 10, total: 20, label: 'upper by mill' }));
    const lines = linesFor(reports);
    expect(lines.length).toBe(11);
    expect([lines[0], lines[1], lines[10]]).toEqual([
      '  0 %  upper by mill\n',
      ' 10 %  upper by mill\n',
      '100 %  upper by mill\n',
    ]);
  });

  it('says nothing for work without a size but its beginning, and never goes back', () => {
    expect(linesFor([{ done: 0, total: 0, label: 'a' }])).toEqual(['  0 %  a\n']);
    const back = [5, 3, 5].map((done) => ({ done, total: 10, label: 'a' }));
    expect(linesFor(back)).toEqual([' 50 %  a\n']);
  });

  it('lets no escape code of a name through', () => {
    expect(linesFor([{ done: 0, total: 1, label: '\u001b[2Jupper\r\nby mill' }])).toEqual(['  0 %  upper by mill\n']);
  });
});
