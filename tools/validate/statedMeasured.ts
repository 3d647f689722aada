import { alignVisits } from '../../src/align/alignVisits.js';
import { floodOfVisits } from '../../src/align/floods.js';
import type { Aligned } from '../../src/align/types.js';
import type { LevelFit } from '../../src/fit/types.js';
import { chooseRule } from '../../src/judge/chooseRule.js';
import { confusionOf } from '../../src/judge/confusion.js';
import { floodSlots, type Measured } from '../../src/judge/floodRatios.js';
import { classFrequencies } from '../../src/judge/frequencies.js';
import { gridPoint, visitX } from '../../src/judge/gridPoint.js';
import { printedEnds } from '../../src/judge/judgedRules.js';
import type { LeftOut } from '../../src/judge/leaveFloodOut.js';
import { reliabilityOf } from '../../src/judge/reliability.js';
import { ruleCost, type RuleCost } from '../../src/judge/rule.js';
import { ruleDays, type RuleDay, type RuleDays } from '../../src/judge/ruleDays.js';
import { skillOf } from '../../src/judge/skill.js';
import { verdictCases } from '../../src/judge/verdictCases.js';
import { splitSeed } from '../../src/kernel/random.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT } from '../../src/series/visits.js';
import { laterLeftOut } from './laterLeftOut.js';
import { laterOdds, momentsAsVisits } from './laterOdds.js';
import type { LaterClasses } from './readLater.js';

/** One number as the log's floods state it, and as the later record has it: hours weighted to the log's classes, and all hours alike. */
export interface StatedMeasured {
  readonly stated: Measured;
  readonly measured: Measured;
  readonly allHours: Measured;
  /** Whether the stated 80 % interval holds the measured value; null where either is missing. The measured value is itself from few floods. */
  readonly inside80: boolean | null;
  /** Whether 0 lies in an 80 % interval of the difference (half widths added in quadrature); null as above. */
  readonly agree80: boolean | null;
}

/** What leaving floods out states about days to come, against days that came. */
export interface StatedAndMeasured {
  readonly method: 'refits' | 'weights';
  readonly hours: number;
  readonly floodsLogged: number;
  readonly floodsLater: number;
  readonly skill: { readonly againstFrequencies: StatedMeasured; readonly againstMonth: StatedMeasured };
  readonly confusion: {
    readonly right: StatedMeasured;
    readonly withinOne: StatedMeasured;
    readonly seenHigher: StatedMeasured;
    readonly seenLower: StatedMeasured;
  };
  /** Mean |seen - stated odds|, the same by chance alone, and per bin. */
  readonly reliability: {
    readonly gap: { readonly stated: number | null; readonly measured: number | null };
    readonly gapIfRight: { readonly stated: number | null; readonly measured: number | null };
    readonly bins: readonly {
      readonly from: number;
      readonly to: number;
      readonly stated: Measured | null;
      readonly measured: Measured | null;
      readonly meanOdds: { readonly stated: number | null; readonly measured: number | null };
    }[];
  };
  /** The rule chosen from the log, with its cost by floods left out and on the later hours; null where none keeps under the rate. */
  readonly rule: {
    readonly goHoursLater: number;
    readonly wasted: StatedMeasured;
    readonly tooHigh: StatedMeasured;
    readonly missed: StatedMeasured;
  } | null;
}

interface Place {
  readonly creek: Creek;
  readonly run: Run;
  readonly record: GaugeRecord;
}

/**
 * Holds what the log states about itself (skill, right and wrong, reliability, the cost of the rule chosen) against the later record.
 *
 * A log is no sample of the calendar: people go when it runs. So "measured" weights the later hours to the classes of the log; "all hours" doesn't.
 *
 * @param at run and gauge. @param options.fit the way of reading judged, options.left its odds with floods left out.
 * @returns null where no later hour can be scored.
 */
export function statedAndMeasured(
  at: Place,
  {
    fit,
    aligned,
    left,
    later,
    seed,
    method,
  }: {
    fit: LevelFit;
    aligned: Aligned;
    left: LeftOut;
    later: LaterClasses;
    seed: number;
    method: 'refits' | 'weights';
  },
): StatedAndMeasured | null {
  const classes = fit.features.find((f) => f.id === VERDICT)!.classes.length;
  const odds = laterOdds(fit, { ...at, timesMs: later.timesMs });
  const flood = floodOfVisits(at.record, later.timesMs);
  const logged = classFrequencies(verdictCases(aligned));
  const views = [
    left,
    laterLeftOut({ later, odds, flood }, { logged, classes }),
    laterLeftOut({ later, odds, flood }, { classes }),
  ] as const;
  if (views[1].floods.length === 0) return null;
  const options = { seed: splitSeed(seed, 'stated and measured') };

  const skills = views.map((view) => skillOf(view, options));
  const confusions = views.map((view) => confusionOf(view));
  const [states, measures] = [reliabilityOf(views[0], options), reliabilityOf(views[1], { ...options, worlds: 200 })];
  const days = ruleDays({ fit, aligned, left });
  const choice = chooseRule(days, { ends: printedEnds(days, { fit, reach: 'good' }) });
  const laterDays = (view: LeftOut) => laterRuleDays(at, { days, view });
  const costs =
    choice.rule === null
      ? null
      : ([
          choice.costLeftOut!,
          ruleCost(laterDays(views[1]), choice.rule),
          ruleCost(laterDays(views[2]), choice.rule),
        ] as const);
  const skill = (name: 'againstFrequencies' | 'againstMonth') =>
    compared(skills.map((s) => s?.[name] ?? { value: null, i80: [null, null] }));
  const confusion = (name: 'right' | 'withinOne' | 'seenHigher' | 'seenLower') =>
    compared(confusions.map((c) => c[name]));
  const cost = (of: readonly RuleCost[], name: 'wasted' | 'tooHigh' | 'missed') => compared(of.map((c) => c[name]));
  return {
    method,
    hours: views[1].cases.visit.length,
    floodsLogged: left.floods.length,
    floodsLater: views[1].floods.length,
    skill: { againstFrequencies: skill('againstFrequencies'), againstMonth: skill('againstMonth') },
    confusion: {
      right: confusion('right'),
      withinOne: confusion('withinOne'),
      seenHigher: confusion('seenHigher'),
      seenLower: confusion('seenLower'),
    },
    reliability: {
      gap: { stated: states.gap, measured: measures.gap },
      gapIfRight: { stated: states.gapIfRight, measured: measures.gapIfRight },
      bins: binsOf(states.bins, measures.bins),
    },
    rule:
      costs === null
        ? null
        : {
            goHoursLater: costs[2].goDays,
            wasted: cost(costs, 'wasted'),
            tooHigh: cost(costs, 'tooHigh'),
            missed: cost(costs, 'missed'),
          },
  };
}

function compared([stated, measured, allHours]: readonly Measured[]): StatedMeasured {
  const [low, high] = stated.i80;
  const value = measured.value;
  return {
    stated,
    measured,
    allHours,
    inside80: value === null || low === null || high === null ? null : low <= value && value <= high,
    agree80: agreeing(stated, measured),
  };
}

/** The logged and the later floods are different floods, so the two errors are independent. */
function agreeing(a: Measured, b: Measured): boolean | null {
  const ends = [a.value, b.value, ...a.i80, ...b.i80];
  if (ends.includes(null)) return null;
  const [low, high] = a.value! < b.value! ? [a, b] : [b, a];
  const reach = Math.hypot(low.i80[1]! - low.value!, high.value! - high.i80[0]!);
  return high.value! - low.value! <= reach;
}

type Bins = ReturnType<typeof reliabilityOf>['bins'];

function binsOf(states: Bins, measures: Bins): StatedAndMeasured['reliability']['bins'] {
  const ends = [...new Map([...states, ...measures].map((bin) => [bin.from, bin.to]))].sort(([a], [b]) => a - b);
  return ends.map(([from, to]) => {
    const [stated, measured] = [states, measures].map((bins) => bins.find((bin) => bin.from === from));
    return {
      from,
      to,
      stated: stated?.seen ?? null,
      measured: measured?.seen ?? null,
      meanOdds: { stated: stated?.stated ?? null, measured: measured?.stated ?? null },
    };
  });
}

/** The later hours as days to try the log's rule on: the same lag and storage, the same good classes. */
function laterRuleDays(at: Place, { days, view }: { days: RuleDays; view: LeftOut }): RuleDays {
  const { cases, probability } = view;
  const K = cases.classes;
  const moments = alignVisits(
    { ...at, visits: momentsAsVisits(cases.timeMs, at.run) },
    { lagsHours: [days.lagHours], storagesHours: [...new Set([0, days.storageHours])].sort((a, b) => a - b) },
  );
  const point = gridPoint(moments, days);
  const reading = new Map(
    moments.visitIds.map((id, visit) => [Number(id), Math.exp(visitX(moments, { visit, point })) + moments.offset]),
  );
  const [from, to] = days.good;
  const slots = floodSlots(view);
  const out: RuleDay[] = [];
  for (let c = 0; c < cases.visit.length; c++) {
    const value = reading.get(c) ?? NaN;
    if (!(value === value)) continue;
    const seen = cases.classIndex[c];
    const odds = (a: number, b: number) => probability.subarray(c * K + a, c * K + b).reduce((sum, p) => sum + p, 0);
    out.push({
      reading: value,
      floodSlot: slots[c],
      weight: cases.weight[c],
      wasBelow: Number(seen < from),
      wasGood: Number(seen >= from && seen <= to),
      wasTooHigh: Number(seen >= days.tooHighFrom),
      oddsBelow: odds(0, from),
      oddsGood: odds(from, to + 1),
      oddsTooHigh: odds(days.tooHighFrom, K),
    });
  }
  out.sort((a, b) => a.reading - b.reading);
  return { ...days, days: out, floods: view.floods.length, unmatchedShare: 1 - out.length / cases.visit.length };
}
