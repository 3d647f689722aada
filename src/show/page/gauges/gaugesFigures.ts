import type { StaffRating, StaffReport } from '../../../chart/gauges/types.js';
import { ccfFigure } from '../../../chart/figures/ccfFigure.js';
import type { Figure } from '../../../chart/figures/figure.js';
import { loggerFigure } from '../../../chart/figures/loggerFigure.js';
import { rankingFigure } from '../../../chart/figures/rankingFigure.js';
import { staffFigure } from '../../../chart/figures/staffFigure.js';
import { staffRatingFigure } from '../../../chart/figures/staffRatingFigure.js';
import { bestExplainedFirst } from '../../text/gaugeTexts.js';
import type { Panel } from '../panel.js';
import type { GaugesContent } from './gaugesContent.js';

/** The figures of a run's gauges by their ids on the page. */
export function gaugesFigures({
  id,
  gauges: { ranking, loggers, staffs },
  panels,
  timeZone,
}: Pick<GaugesContent, 'id' | 'gauges' | 'panels' | 'timeZone'>): readonly (readonly [string, Figure])[] {
  // The axis that the gauge has in its other figures.
  const scaleOf = (gauge: string) => panels.find((panel) => panel.gauge.gauge.id === gauge)?.scale;
  const all: (readonly [string, Figure | undefined])[] = [
    [`${id}-ranking`, ranking === null ? undefined : rankingFigure(ranking)],
    ...loggers.flatMap((logger, l) =>
      bestExplainedFirst(logger).flatMap((one, g) => [
        [`${id}-logger${l}-${g}`, loggerFigure(one, { logger, timeZone })] as const,
        [`${id}-ccf${l}-${g}`, one.ccf === null ? undefined : ccfFigure(one.ccf)] as const,
      ]),
    ),
    ...staffs.flatMap((staff, s) => [
      [`${id}-staff${s}`, staffFigure(staff)] as const,
      ...staff.gauges.map(
        (rating, g) =>
          [`${id}-rating${s}-${g}`, staffRatingFigure(rating, { ...staff, scale: scaleOf(rating.gauge) })] as const,
      ),
    ]),
  ];
  return all.filter((pair): pair is readonly [string, Figure] => pair[1] !== undefined);
}

/** A staff's ratings in the order of the gauges on the page; those of gauges without a place there last. */
export function inPanelOrder({ gauges }: StaffReport, panels: readonly Panel[]): readonly StaffRating[] {
  const placeOf = ({ gauge }: StaffRating): number => {
    const at = panels.findIndex((panel) => panel.gauge.gauge.id === gauge);
    return at < 0 ? panels.length : at;
  };
  return [...gauges].sort((a, b) => placeOf(a) - placeOf(b));
}
