import { describe, expect, it } from 'vitest';
import type { Aligned } from '../../src/align/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { ratingFormOf } from '../../src/fit/ratingAt.js';
import { gridPointOfDraws } from '../../src/judge/gridPoint.js';
import { visitState } from '../../src/judge/visitStates.js';
import { normalCdf } from '../../src/kernel/normal.js';
import { createRandom } from '../../src/kernel/random.js';
import { simulateHistory } from '../../tools/shift/simulateHistory.js';
import { expectClose } from '../expectClose.js';
import { plainAligned } from '../fit/plainAligned.js';
import { syntheticAligned, syntheticFit } from './syntheticRelation.js';

const range = { below: 20, above: 20, step: 0.05 };

describe('visitState', () => {
  it('of one class sighting is the closed form at every δ', () => {
    const aligned = syntheticAligned([{ x: 1.3, saw: 1 }, { x: NaN, saw: 1 }], { classes: ['low', 'good', 'high'] }); // prettier-ignore
    const fit = syntheticFit(aligned, [{ edges: [1, 2], mismatch: 0.3, blur: 0.2 }]);
    const { logLik } = visitState(
      { fit, aligned, visit: 0, draw: 0, point: 0 },
      { range, sigmaShares: [1, Math.sqrt(0.3)] },
    );
    for (let k = 0; k <= 40; k++)
      for (const [r, part] of [1, 0.3].entries()) {
        const sd = Math.sqrt(0.09 * part + 0.04);
        const c = 1.3 + (k - 20) * 0.05;
        const exact = normalCdf((2 - c) / sd) - normalCdf((1 - c) / sd);
        expectClose(Math.exp(logLik[r * 41 + k]), exact, { rel: 1e-7, why: `δ number ${k}, σ² × ${part}` });
      }
    const none = visitState({ fit, aligned, visit: 1, draw: 0, point: 0 }, { range, sigmaShares: [1] });
    expect(none.residual).toBe(NaN);
    expect(new Set(none.logLik)).toEqual(new Set([0]));
  });

  it('residual of one sighting is the mean of a normal between two probits', () => {
    // E[c - x | c + blur > 1] with x = 0: σ²/t·φ(1/t)/(1 - Φ(1/t)), t² = σ² + s² = 1.
    const aligned = syntheticAligned([{ x: 0, saw: 1 }], { classes: ['low', 'high'] });
    const fit = syntheticFit(aligned, [{ edges: [1], mismatch: 0.8, blur: 0.6 }]);
    const { residual } = visitState({ fit, aligned, visit: 0, draw: 0, point: 0 }, { range, sigmaShares: [1] });
    const density = Math.exp(-0.5) / Math.sqrt(2 * Math.PI);
    expectClose(residual, (0.64 * density) / (1 - normalCdf(1)), { rel: 1e-6, why: 'by hand' });
  });

  it('at δ = 0 is the fit’s own likelihood: classes, a staff, several observers, time windows', () => {
    const aligned = simulateHistory({ seed: 5, visitsEachSide: 12, staff: true, windowed: true });
    const { effective: fit } = fitLevels(aligned, { modes: ['effective'], draws: 40 });
    const points = gridPointOfDraws(aligned, fit.draws);
    const n = aligned.visitIds.length;
    for (let draw = 0; draw < 40; draw += 13)
      for (let visit = 0; visit < n; visit++) {
        const at = { fit, aligned, visit, draw, point: points[draw] };
        const { logLik } = visitState(at, { range, sigmaShares: [1] });
        // The fit weighs its draws on coarser nodes (8e-4 at the very worst).
        expectClose(logLik[20], fit.draws.visitLogLik[draw * n + visit], {
          abs: 2e-3,
          why: `draw ${draw}, visit ${visit}`,
        });
      }
  });

  it('at δ = 0 is the fit’s own likelihood for a staff of two power laws, and for one whose noise grows', () => {
    const random = createRandom(3);
    const world = (reads: (c: number) => number): Aligned =>
      plainAligned(
        Array.from({ length: 60 }, () => {
          const x = 1.5 * random.normal();
          return { x, looks: [{ saw: x > 0 ? 1 : 0 }, { feature: 1, value: reads(x + 0.15 * random.normal()) }] };
        }),
        { features: [['low', 'high'], 'cm'] },
      );
    const opened = (c: number): number => 40 + 25 * Math.exp(Math.min(c, 0.3) / 1.6) + 3 * Math.max(0, c - 0.3) + random.normal(); // prettier-ignore
    const swung = (c: number): number => 40 + 25 * Math.exp(c / 1.6) * (1 + 0.2 * random.normal());
    for (const [form, aligned] of [
      ['segments', world(opened)],
      ['growing', world(swung)],
    ] as const) {
      const { effective: fit } = fitLevels(aligned, { modes: ['effective'], draws: 20 });
      expect(ratingFormOf(fit.features[1].rating!)).toBe(form);
      const points = gridPointOfDraws(aligned, fit.draws);
      const n = aligned.visitIds.length;
      for (let draw = 0; draw < 20; draw += 9)
        for (let visit = 0; visit < n; visit += 2) {
          const at = { fit, aligned, visit, draw, point: points[draw] };
          // A corner costs both sides their digits; the fit weighs its draws on coarser nodes.
          expectClose(
            visitState(at, { range: { below: 0, above: 0, step: 0.05 }, sigmaShares: [1] }).logLik[0],
            fit.draws.visitLogLik[draw * n + visit],
            {
              abs: 4e-3,
              why: `${form}, draw ${draw}, visit ${visit}`,
            },
          );
        }
    }
  });
});
