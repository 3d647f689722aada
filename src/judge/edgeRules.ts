import type { LoggedEvidence } from './evidence.js';
import { THRESHOLDS as T } from './thresholds.js';
import type { TrustRule } from './trustRule.js';
import { counted } from '../series/format.js';

/** What each edge of the good range asks of the log: verdicts on both of its sides, and some near it. */
export function edgeRules({ goodEdges }: LoggedEvidence): readonly TrustRule[] {
  return goodEdges.flatMap(({ between, below, above, beside }): TrustRule[] => {
    const fewer = below < above ? `"${between[0]}" or below` : `"${between[1]}" or above`;
    return [
      {
        check: `verdicts beside the edge ${between[0]} / ${between[1]}, rarer side`,
        statistic: Math.min(below, above),
        operator: '>=',
        threshold: T.besideGoodEdge,
        unit: 'verdicts',
        comment: 'an edge of the good range that nobody has been beyond is a guess',
        cap: 'rough guide',
        fails: `Only ${counted(Math.min(below, above), 'verdict')} of ${fewer}: where that begins is mostly a guess.`,
      },
      {
        check: `verdicts within one class of the edge ${between[0]} / ${between[1]}`,
        statistic: beside,
        operator: '>=',
        threshold: T.besideGoodEdge,
        unit: 'verdicts',
        comment: 'the two classes that meet there; farther ones only say that it lies somewhere between',
        cap: 'rough guide',
        fails: `Only ${counted(beside, 'verdict')} of "${between[0]}" or "${between[1]}": where they meet is mostly a guess.`,
      },
    ];
  });
}
