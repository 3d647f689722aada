import type { LoggerGauge, LoggerReport } from '../../../chart/gauges/types.js';
import { percentText } from '../../../chart/figures/percentText.js';
import { valueText } from '../../../chart/figures/valueText.js';
import { plain } from '../../../series/format.js';
import { unitLabel } from '../../../series/units.js';
import { bestExplainedFirst, loggerDates } from '../../text/gaugeTexts.js';
import { plural } from '../../text/trustTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { sentence, typeset } from '../sentence.js';
import type { GaugesContent } from './gaugesContent.js';
import { hoursCell } from './hoursCell.js';

/** A temporary logger: where and when it stood, and a piece for each official gauge that its levels were held against. */
export function loggerPieces(content: GaugesContent, { logger, index }: { logger: LoggerReport; index: number }): Html {
  const gauges = bestExplainedFirst(logger);
  return html`<h4>${logger.name} <small>logger</small></h4>
    <p>${place(logger, content.timeZone)}</p>
    ${
      gauges.length === 0 &&
      html`<p>
        ${logger.fromMs === null ? 'None of its levels could be read.' : 'There is no gauge to hold it against.'}
      </p>`
    }
    ${gauges.map((one, g) => loggerPiece(content, { logger, one, ids: `${index}-${g}` }))}`;
}

function place(logger: LoggerReport, timeZone: string): string {
  const { unit, kmFromPutIn } = logger;
  const dates = loggerDates(logger, timeZone);
  const where =
    kmFromPutIn === null
      ? ''
      : kmFromPutIn === 0
        ? ', at the put-in'
        : `, ${plain(Math.abs(kmFromPutIn), 1)} km ${kmFromPutIn > 0 ? 'below' : 'above'} the put-in`;
  return `Levels in ${unitLabel(unit)}${where}${dates === '' ? '' : `, ${dates}`}. They are no official readings and no level of the run.`;
}

function loggerPiece(
  { id, figures }: GaugesContent,
  { logger, one, ids }: { logger: LoggerReport; one: LoggerGauge; ids: string },
): Html {
  const title = `Against ${one.gaugeName}`;
  if (one.status !== 'converged')
    return foldedPiece(title, {
      look: 'a logger and a gauge that both moved in the same weeks.',
      body: html``,
      seen: one.sentence,
    });
  return foldedPiece(title, {
    look: 'the solid line inside the grey band, in rises above all; and bars with one peak above the dashed line. A rise that the dashed line has earlier or later: another lag at such water.',
    body: html`${picture(
        figures,
        `${id}-logger${ids}`,
        `Solid: what the logger saw. Dashed: what ${one.gaugeName} makes of it, carried by lag and storage. Grey: where 80 % of single levels should lie.`,
      )}
      ${picture(
        figures,
        `${id}-ccf${ids}`,
        'How the changes of both go together when the logger is read that many hours later. Between the dashed lines: no more than any two rivers. The peak lies near the lag plus part of the storage.',
        { small: true },
      )}
      ${!figures.has(`${id}-logger${ids}`) && html`<p class="note">Its levels are left out to keep the page small; they are in gauges.json.</p>`}
      ${lagTable(one)} ${one.withVisits !== null && html`<p>${sentence(one.withVisits.sentence)}</p>`}
      <p class="note">${numbers(one, logger)}</p>`,
    seen: one.sentence,
  });
}

/** Lag and storage as the logger, the visits and both together say. */
function lagTable({ lag, storage, withVisits }: LoggerGauge): Html {
  return table(
    'Lag and storage, hours (80 % intervals)',
    ['', 'Lag', 'Storage'],
    [
      ['The logger alone', hoursCell(lag), hoursCell(storage)],
      ...(withVisits === null
        ? []
        : [
            ['The visits alone', hoursCell(withVisits.lagAlone), hoursCell(withVisits.storageAlone)],
            ['Both together, as in the chart', hoursCell(withVisits.lagWith), hoursCell(withVisits.storageWith)],
          ]),
    ],
  );
}

function numbers(
  { form, explained, residualSd, rows, effectiveRows, floods }: LoggerGauge,
  { unit }: LoggerReport,
): string {
  const curve = { power: 'A power law', line: 'A straight line in ln', none: 'A curve' }[form ?? 'none'];
  const share = explained === null ? '' : ` explains ${percentText(explained)} of the levels’ variance`;
  const left = residualSd === null ? '' : `; what is left has a spread of ${valueText(residualSd)} ${unitLabel(unit)}`;
  const worth = effectiveRows === null ? '' : `, worth about ${Math.round(effectiveRows)} independent ones`;
  return typeset(`${curve}${share}${left}. ${plural(rows, 'hour')} in ${plural(floods, 'flood')}${worth}.`);
}
