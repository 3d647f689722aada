import type { StaffRating, StaffReport } from '../../../chart/gauges/types.js';
import { valueText } from '../../../chart/figures/valueText.js';
import { unitLabel } from '../../../series/units.js';
import { breakWords } from '../../text/gaugeTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { sentence } from '../sentence.js';
import type { GaugesContent } from './gaugesContent.js';
import { inPanelOrder } from './gaugesFigures.js';

/** Rows of the curve that are written out. */
const ROWS = 7;

/** A staff that people read: against words, which needs no gauge, and against each gauge that its readings were fitted to. */
export function staffPieces(content: GaugesContent, { staff, index }: { staff: StaffReport; index: number }): Html {
  return html`<h4>${staff.name} <small>read in ${staff.unit}</small></h4>
    <p>${sentence(staff.sentence)}</p>
    ${wordsPiece(content, { staff, index })}
    ${inPanelOrder(staff, content.panels).map((rating, g) => ratingPiece(content, { staff, rating, ids: `${index}-${g}` }))}`;
}

function wordsPiece({ id, figures }: GaugesContent, { staff, index }: { staff: StaffReport; index: number }): Html {
  const { name, unit, classes } = staff;
  const seen = classes.filter(({ readings }) => readings.length > 0);
  return foldedPiece('Against words', {
    look: 'rows that do not overlap: then a reading tells the level as well as the people do who call it.',
    body: html`${picture(
      figures,
      `${id}-staff${index}`,
      'Each mark is a visit, in the row of the level it was called; bar: the median. Marks stand at three heights so that equal readings show.',
    )}
    ${table(
      `What ${name} read (${unit}), lowest level first`,
      ['Level', 'Visits', 'Median', 'Lowest to highest'],
      classes.map(({ word, readings, median }) => [
        word,
        String(readings.length),
        ...(readings.length === 0
          ? ['', '']
          : [valueText(median ?? NaN), `${valueText(Math.min(...readings))} to ${valueText(Math.max(...readings))}`]),
      ]),
    )}`,
    seen:
      seen.length === 0
        ? 'it was never read on a visit with a verdict'
        : `medians ${seen.map(({ word, median }) => `${word} ${valueText(median ?? NaN)}`).join(', ')} ${unit}`,
  });
}

function ratingPiece(
  { id, figures }: GaugesContent,
  { staff, rating, ids }: { staff: StaffReport; rating: StaffRating; ids: string },
): Html {
  const { gaugeName, formSentence, noiseSentence, offset } = rating;
  const meet = breakWords(rating, (value) => valueText(value));
  return foldedPiece(`Against ${gaugeName}`, {
    look: 'about eight of ten rings inside the light band, and in the lower picture as many above the line as below it everywhere. A bend there: the curve has the wrong form.',
    body: html`${picture(
        figures,
        `${id}-rating${ids}`,
        'Line: median, dashed beyond the readings. Dark band: 80 % interval of the curve. Light band: that of one reading by an average observer. Below: how far each reading lies off.',
      )}
      ${ratingTable(rating, staff)}
      <p>${sentence(formSentence)} ${meet} ${sentence(noiseSentence)}</p>
      ${
        offset !== null &&
        html`<p>
          ${sentence(offset.sentence)} With 95 % probability below ${valueText(offset.below95)} ${staff.unit}.
        </p>`
      }`,
    seen: ratingSeen(rating, staff),
  });
}

/** Some places of the curve among the readings, evenly along it. */
function ratingTable({ gaugeValues, median, curve80, reading80, points, unit }: StaffRating, staff: StaffReport): Html {
  const read = points.map(({ gaugeValue }) => gaugeValue);
  const [from, to] = read.length === 0 ? [-Infinity, Infinity] : [Math.min(...read), Math.max(...read)];
  const inside = gaugeValues.flatMap((value, i) => (value >= from && value <= to ? [i] : []));
  const step = (inside.length - 1) / (ROWS - 1);
  const shown = [...new Set(Array.from({ length: ROWS }, (_, r) => inside[Math.round(r * step)]))];
  const ends = ([low, high]: StaffRating['curve80'][number]) =>
    `${low === null ? 'open' : valueText(low)} to ${high === null ? 'open' : valueText(high)}`;
  return table(
    `What ${staff.name} should read (${staff.unit})`,
    [unitLabel(unit), 'Median', 'Curve, 80 %', 'One reading, 80 %'],
    shown.flatMap((i) =>
      i === undefined
        ? []
        : [[valueText(gaugeValues[i]!), valueText(median[i]!), ends(curve80[i]!), ends(reading80[i]!)]],
    ),
  );
}

function ratingSeen({ points, form, upper, unit: gaugeUnit }: StaffRating, { unit }: StaffReport): string {
  const curve =
    upper !== null
      ? `two power laws that meet at ${valueText(upper.from)} ${unitLabel(gaugeUnit)}`
      : form === 'power'
        ? 'a power law'
        : 'a straight line';
  if (points.length === 0) return `${curve}, and no reading to show beside it`;
  const off = points.map(({ staff, expected }) => Math.abs(staff - expected)).sort((a, b) => a - b);
  const half = off[Math.floor((off.length - 1) / 2)]!;
  return `${curve}; half of ${off.length} readings lie within ${valueText(half, { digits: 2 })} ${unit} of ${upper === null ? 'it' : 'them'}, the farthest ${valueText(off[off.length - 1]!, { digits: 2 })} ${unit} off`;
}
