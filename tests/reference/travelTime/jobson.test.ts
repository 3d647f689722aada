import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { travelTime } from '../../../src/fit/travelTime/tracerTime.js';
import { expectClose } from '../../expectClose.js';

it('jobson-traveltime: every equation for every reach', () => {
  type Speeds = { speeds: Record<string, { V: number; Tp_hours: number; T_leading_hours: number }> };
  const { data, expected, tolerance } = JSON.parse(
    readFileSync(new URL('jobson-traveltime.json', import.meta.url), 'utf8'),
  ) as {
    data: {
      example1: Record<'Da' | 'Q_exact' | 'Qa_exact' | 'Q_rounded' | 'Qa_rounded' | 'L', number>;
      example1_with_assumed_slope: number;
      rhine_eglisau: Record<'Da' | 'Qa' | 'Q' | 'S' | 'L', number>;
    };
    expected: Record<'example1_exact_inputs' | 'example1_rounded_inputs' | 'example1_slope_0.004' | 'rhine', Speeds>;
    tolerance: { rel: number };
  };
  const { example1: one, rhine_eglisau: rhine, example1_with_assumed_slope: slope } = data;
  const areaKm2 = one.Da / 1e6;
  const rounded = { areaKm2, flowM3s: one.Q_rounded, meanFlowM3s: one.Qa_rounded };
  const cases = {
    example1_exact_inputs: travelTime(one.L, { areaKm2, flowM3s: one.Q_exact, meanFlowM3s: one.Qa_exact }),
    example1_rounded_inputs: travelTime(one.L, rounded),
    'example1_slope_0.004': travelTime(one.L, { ...rounded, slope }),
    rhine: travelTime(rhine.L, { areaKm2: rhine.Da / 1e6, flowM3s: rhine.Q, meanFlowM3s: rhine.Qa, slope: rhine.S }),
  };
  for (const [name, { rows }] of Object.entries(cases)) {
    const { speeds } = expected[name as 'rhine'];
    expect(rows.length).toBe(Object.keys(speeds).length);
    for (const row of rows) {
      const want = Object.entries(speeds).find(([key]) => key.startsWith(`eq${row.equation}_`))![1];
      const { rel } = tolerance;
      expectClose(row.velocityMs, want.V, { rel, why: `${name} ${row.equation} V` });
      expectClose(row.peakHours, want.Tp_hours, { rel, why: `${name} ${row.equation} peak` });
      expectClose(row.leadingEdgeHours, want.T_leading_hours, { rel, why: `${name} ${row.equation} leading edge` });
    }
  }
});
