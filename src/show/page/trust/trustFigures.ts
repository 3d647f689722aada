import { biasFigure } from '../../../chart/figures/biasFigure.js';
import type { Figure } from '../../../chart/figures/figure.js';
import { leadCurveFigure } from '../../../chart/figures/leadCurveFigure.js';
import { nextLookFigure } from '../../../chart/figures/nextLookFigure.js';
import { reliabilityFigure } from '../../../chart/figures/reliabilityFigure.js';
import { residualsFigure } from '../../../chart/figures/residualsFigure.js';
import { ruleFrontierFigure } from '../../../chart/figures/ruleFrontierFigure.js';
import { skillFigure } from '../../../chart/figures/skillFigure.js';
import type { Panel } from '../panel.js';

/** The figures of a panel's judgement by their ids on the page. A gauge that is not for use gets no rule and no lead curve. */
export function trustFigures(panel: Panel): readonly (readonly [string, Figure | undefined])[] {
  const { id, gauge, judgement, scale, timeZone, usable } = panel;
  if (judgement === undefined) return [];
  const { scores, rules, leadCurve, observers, shift, nextLook, unit, grade } = judgement;
  const plans = <T>(part: T | null) => (usable && part !== null ? part : undefined);
  const rule = plans(rules);
  const lead = plans(leadCurve);
  return [
    [`${id}-skill`, scores === null ? undefined : skillFigure(scores)],
    [`${id}-reliability`, scores === null ? undefined : reliabilityFigure(scores.reliability)],
    [`${id}-rule`, rule && ruleFrontierFigure(rule, { unit })],
    [`${id}-lead`, lead && leadCurveFigure(lead)],
    [`${id}-bias`, biasFigure(observers)],
    [`${id}-shift`, residualsFigure(shift, { timeZone })],
    [
      `${id}-look`,
      nextLook === null || grade === 'no usable relation' ? undefined : nextLookFigure(gauge, { nextLook, scale }),
    ],
  ];
}
