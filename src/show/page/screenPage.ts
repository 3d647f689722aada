import { figures, fixed, hours, plain, share } from '../../series/format.js';
import { screenDocument, type ScreenResult, type ScreenRow } from '../../tell/screenDocument.js';
import { listPage, type ListColumn } from './listPage.js';

const size = (value: number | null, none = 1e9) => String(value ?? none);

const COLUMNS: readonly ListColumn<ScreenRow>[] = [
  ['run', ({ runName }) => runName, ({ runName }) => runName],
  ['gauge', ({ gaugeName }) => gaugeName, ({ gaugeName }) => gaugeName],
  ['grade', ({ grade }) => grade ?? '', ({ grade }) => grade ?? '~'],
  ['skill', ({ skill }) => (skill === null ? '' : share(skill)), ({ skill }) => size(skill, -1)],
  ['q', ({ q }) => (q < 0.001 ? 'under 0.001' : plain(q, 3)), ({ q }) => size(q)],
  ['ρ', ({ rho }) => (rho === null ? '' : fixed(rho, 2)), ({ rho }) => size(rho, -2)],
  ['lag', ({ lagHours }) => (lagHours === null ? '' : hours(lagHours)), ({ lagHours }) => size(lagHours)],
  ['looks', ({ looks }) => figures(looks), ({ looks }) => size(looks)],
  ['km', ({ distanceKm }) => (distanceKm === null ? '' : fixed(distanceKm, 0)), ({ distanceKm }) => size(distanceKm)],
];

const RECOMMENDED = 'to begin with';
const PASSED = 'passed';

/**
 * The pairs of a screening that passed, on one page; of a run of which no gauge tells, the likeliest one. screen.csv has all pairs.
 * @example writeFileSync('index.html', screenPage(result))
 */
export function screenPage(result: ScreenResult): string {
  const best = new Map<string, ScreenRow>();
  for (const row of result.rows) if (row.p < (best.get(row.run)?.p ?? 2)) best.set(row.run, row);
  const { title, cautions, body } = screenDocument(result);
  return listPage(
    { title, cautions },
    {
      rows: result.rows.filter((row) => row.passed || best.get(row.run) === row),
      columns: COLUMNS,
      choice: {
        label: 'Show',
        words: [RECOMMENDED, PASSED, 'nothing tells'],
        of: ({ recommended, passed }) => (recommended ? RECOMMENDED : passed ? PASSED : 'nothing tells'),
      },
      notes: body.flatMap((block) => (block.kind === 'says' ? [block.text] : block.kind === 'list' ? block.items : [])),
    },
  );
}
