import { dayText, plural } from '../../text/trustTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { countText, fixed } from './numberText.js';
import type { TrustContent } from './trustContent.js';

/** From here on weights can't stand for a fit without the flood. */
const DEPENDABLE_K = 0.7;

/** One row a flood: how the chart did there without having seen it. */
export function floodsFold({ panel, judgement }: TrustContent): Html {
  const { scores } = judgement;
  const title = 'Floods, one by one';
  const look =
    'floods marked “worse”: there the gauge misled, compared with knowing only how often each class was logged.';
  const floods = scores?.floods ?? [];
  if (scores === null || floods.length === 0)
    return foldedPiece(title, { look, body: html``, seen: 'There is no flood to show.' });
  const better = floods.filter(({ rps, rpsFrequencies }) => rps < rpsFrequencies).length;
  const day = (ms: number) => dayText(ms, panel.timeZone);
  const weights = scores.method === 'weights';
  return foldedPiece(title, {
    look,
    body: table(
      'Ranked probability score of each flood, left out (lower is better)',
      ['Flood', 'Verdicts', 'By the chart', 'By the log', '', 'k̂'],
      floods.map(({ firstMs, lastMs, verdicts, rps, rpsFrequencies, paretoK }) => [
        day(firstMs) === day(lastMs) ? day(firstMs) : `${day(firstMs)} to ${day(lastMs)}`,
        countText(verdicts),
        fixed(rps, 3),
        fixed(rpsFrequencies, 3),
        rps < rpsFrequencies ? 'better' : 'worse',
        paretoK === null
          ? 'unknown'
          : `${fixed(paretoK, 2)}${weights && paretoK > DEPENDABLE_K ? ' (not dependable)' : ''}`,
      ]),
    ),
    seen: `better than how often each class was logged on ${better} of ${plural(floods.length, 'flood')}`,
  });
}
