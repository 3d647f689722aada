import { counted, hoursInWords, listed, share } from '../../series/format.js';
import type { FitStatus } from '../../fit/types.js';
import type { EdgesResult, FloodResult, JudgeContext, RelationRefits } from './types.js';

const WHY: Readonly<Partial<Record<FitStatus, string>>> = {
  'too-few-rows': 'too few visits were left',
  'constant-gauge': 'the gauge showed one value at all visits left',
  singular: 'no maximum was found',
};

/** What could not be fitted or should not be relied on, a plain sentence each; empty where all went well. */
export function refitProblems(
  { relation: { fits }, first: { againstSeason } }: Pick<JudgeContext, 'relation' | 'first'>,
  {
    floods,
    edges,
    leftOut,
  }: { floods: readonly FloodResult[]; edges: readonly EdgesResult[]; leftOut: RelationRefits['leftOut'] },
): readonly string[] {
  const out: string[] = [];
  const failed = floods.filter(({ answers }) => answers.every((answer) => answer === null));
  if (failed.length > 0)
    out.push(
      `${counted(failed.length, 'flood')} could not be left out by a fit (${reasons(failed)}): ` +
        `${failed.length === 1 ? 'its' : 'their'} verdicts were predicted by how often each class was logged ` +
        'elsewhere.',
    );
  const loose = floods.filter(({ status }) => status === 'iteration-limit').length;
  if (loose > 0)
    out.push(`${counted(loose, 'fit')} without a flood did not settle; the odds of those floods are rough.`);
  const worst = Math.max(leftOut.effective?.undependableShare ?? 0, leftOut['one-reading']?.undependableShare ?? 0);
  if (failed.length === 0 && worst > 0)
    out.push(
      `For ${share(worst)} of the verdicts leaving the flood out changes the fit so much that the odds are rough.`,
    );
  // Asked only of gauges with skill, as the season is.
  if (leftOut['as-it-stands'] === null && againstSeason !== undefined)
    out.push(
      `The gauge as it stands could not be compared: a lag of ${hoursInWords(fits.effective.leadHours)} is not among those looked through.`,
    );
  const noEdges = edges.filter((result) => result.edges.length === 0);
  if (noEdges.length > 0)
    out.push(`No chart could be made ${listed(noEdges.map(({ id }) => nameOf(id)))} (${reasons(noEdges)}).`);
  return out;
}

function reasons(results: readonly { readonly status: FitStatus }[]): string {
  return listed([...new Set(results.map(({ status }) => WHY[status] ?? 'the fit came to nothing'))]);
}

/** A task that makes a chart, in words. */
function nameOf(id: string): string {
  if (id.startsWith('observer ')) return `without ${id.slice('observer '.length)}`;
  if (id.startsWith('visit ')) return 'without one visit';
  if (id === 'before' || id === 'after') return `of the visits ${id} the shift`;
  return `under the variant ${id}`;
}
