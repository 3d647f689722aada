import type { LagReport } from '../../../chart/gauges/types.js';
import type { GaugeChart } from '../../../chart/types.js';
import { valueText } from '../../../chart/figures/valueText.js';
import { unitLabel } from '../../../series/units.js';
import { plural } from '../../text/trustTexts.js';
import { fold, interval, table } from '../details.js';
import { html, type Html } from '../html.js';
import { sentence } from '../sentence.js';
import { fixed } from '../trust/numberText.js';
import { hoursCell, hoursNumber } from './hoursCell.js';

/** What distance and flow say of a gauge's lag, in a sentence each; undefined where neither was asked. */
export function lagSentences({ travel, flow }: LagReport): Html | undefined {
  if (travel === null && flow === null) return undefined;
  return html`${travel !== null && html`<p${travel.lagGoes === false && html` class="heed"`}>${sentence(travel.sentence)}</p>`}
  ${flow !== null && html`<p>${sentence(flow.sentence)}</p>`}`;
}

/** The numbers behind those sentences, folded. */
export function lagFold({ lag }: GaugeChart, { travel, flow }: LagReport): Html | undefined {
  if (travel === null && flow === null) return undefined;
  const found = { median: lag.median, i80: lag.i80, i95: lag.i95 };
  return fold(
    'The lag in depth: distance and flow',
    html`${table(
        'Hours between gauge and creek (80 % intervals; travel times from fastest to probable)',
        ['', ''],
        [
          ['Lag found from the visits', hoursCell(found)],
          ...(travel === null
            ? []
            : [
                [`A wave over ${valueText(travel.lengthKm)} km`, interval(travel.waveHours, hoursNumber)],
                [`A tracer over ${valueText(travel.lengthKm)} km`, interval(travel.tracerHours, hoursNumber)],
              ]),
          ...(flow === null
            ? []
            : [
                [`Lag at a usual visit, ${valueText(flow.flowAt)} ${unitLabel(flow.unit)}`, hoursCell(flow.lag)],
                [
                  'Power m by which it shortens: lag = L·(flow/usual)⁻ᵐ',
                  `${fixed(flow.exponent.median, 2)} (${fixed(flow.exponent.i80[0] ?? NaN, 2)} to ${fixed(flow.exponent.i80[1] ?? NaN, 2)})`,
                ],
                [
                  'ln Bayes factor for a lag that shortens',
                  `${fixed(flow.logBayesFactor, 1)}, ${flow.kept ? 'kept' : 'not kept'}`,
                ],
              ]),
        ],
      )}
      <p class="note">
        ${
          travel !== null &&
          `The gauge lies ${travel.lies}. Travel times come from the length of the way; a tracer drifts with the water, a wave runs ahead of it. `
        }
        ${flow !== null && `From ${plural(flow.visits, 'visit')}. The chart uses one lag for all flows in any case.`}
      </p>`,
  );
}
