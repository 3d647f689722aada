import { THRESHOLDS as T } from './thresholds.js';
import type { GradeInput, TrustRule } from './trustRule.js';

/** What an open lag costs: in classes, and in floods where even its sign is open. Each is asked only where it can be said. */
export function lagRules({ lagWorth, lagSign }: Pick<GradeInput, 'lagWorth' | 'lagSign'>): readonly TrustRule[] {
  const rules: TrustRule[] = [];
  if (Number.isFinite(lagWorth))
    rules.push({
      check: 'what the open lag is worth',
      statistic: lagWorth,
      operator: '<=',
      threshold: T.lagWorth,
      unit: 'classes',
      comment: 'half the 80 % interval of the lag × the usual change per hour, over the usual width of a class',
      cap: 'rough guide',
      fails: `The lag is so open that it moves the reading by ${lagWorth.toFixed(1)} classes. Log exact times, most of all while the water rises or falls fast.`,
    });
  if (lagSign) {
    const [low, high] = lagSign.lag80.map(Math.round);
    rules.push({
      check: 'open sign of the lag',
      statistic: lagSign.openFloods,
      operator: '<=',
      threshold: T.openLagFloods,
      unit: 'flood lengths',
      comment:
        'width of the 80 % interval of the lag where it holds both signs (else 0), over the usual length of a flood',
      cap: 'rough guide',
      fails: `It is open whether the gauge leads or trails: the lag may be anything from ${low} to ${high} hours, and a flood lasts about ${Math.round(lagSign.floodHours)}. Log exact times on several floods.`,
    });
  }
  return rules;
}
