import type { Aligned } from '../../align/types.js';
import type { LevelFits } from '../../fit/fitLevels.js';
import type { FitStatus } from '../../fit/types.js';
import type { Measured } from '../floodRatios.js';
import type { Skill } from '../types.js';

export type CandidateKind = 'single' | 'derived' | 'combined';

/** A gauge that could be read for a run: an official one, or one derived from several. */
export interface GaugeCandidate {
  /** Unique among the candidates. */
  readonly id: string;
  readonly name: string;
  /** `combined`: a weighted mean that an earlier ranking proposed. */
  readonly kind: CandidateKind;
  /** Ids of the official gauges that somebody has to look at; default the candidate's own. */
  readonly sources?: readonly string[];
  /** The run's visits against it; all candidates from the same visits. */
  readonly aligned: Aligned;
  /** ln prior over the grid of `aligned`, a logger's; default flat. */
  readonly gridPrior?: Float64Array;
  /**
   * Fits made before, of all visits of `aligned`: they stand where no candidate lacks a visit, else all are fitted anew on the visits that
   * all share.
   */
  readonly fitted?: { readonly aligned: Aligned; readonly fits: LevelFits };
}

/** How one gauge enters a weighted mean of ln effective readings. */
export interface CombinedPart {
  readonly gauge: string;
  readonly weight: number;
  readonly lagHours: number;
  readonly storageHours: number;
}

/** Weighted means of ln effective readings on some gauges, as an aligned of its own. */
export interface CombinedGauge {
  readonly kind: 'combined-gauge';
  readonly id: string;
  readonly name: string;
  /**
   * The visits on a grid that is a list of configurations: `storagesHours` holds their numbers 0 … V-1, which are not hours; `lagsHours`
   * holds the shortest lag of all, once.
   */
  readonly aligned: Aligned;
  /** Weights, lags and storages of configuration v (V of them). */
  readonly configurations: readonly (readonly CombinedPart[])[];
}

/** One candidate with its place among the others, and what the place rests on. */
export interface RankedGauge {
  readonly rank: number;
  readonly id: string;
  readonly name: string;
  readonly kind: CandidateKind;
  /** Official gauges that somebody has to look at. */
  readonly gauges: number;
  /** Ranked probability skill with floods left out, over the floods that all candidates share. */
  readonly skill: Skill;
  /**
   * What it gains in skill over the best plain single gauge, on the same floods; null for that one itself, without one, and where it only
   * confirms.
   */
  readonly gain: Measured | null;
  /** Mean ranked probability score of a verdict, lower is better. */
  readonly rps: number;
  /** Probability that this candidate scores better than the first of its list over floods drawn anew; null for the first itself. */
  readonly beatsFirst: number | null;
  /** Probability of being the best of its list over floods drawn anew; they sum to 1. */
  readonly best: number;
  /**
   * Probability that the creek leads this gauge (lag below 0), from the fit over both signs; null for a combined one, which only holds
   * gauges that warn.
   */
  readonly creekLeads: number | null;
  /** It says clearly more when it is read afterwards. */
  readonly moreAfterwards: boolean;
  /** Of one that only confirms: what it is worth before going. */
  readonly atLead: Skill | null;
  readonly lagHours: number;
  readonly storageHours: number;
  /** A combined gauge: weight, lag and storage of each part. */
  readonly parts: readonly CombinedPart[];
  /** Share of the verdicts' weight in floods whose weights are not dependable (k̂ above 0.7). */
  readonly undependableShare: number;
  readonly status: FitStatus;
  /** The same in a sentence or two. */
  readonly reason: string;
}

/** A candidate that takes no part, and why. */
export interface GaugeAside {
  readonly id: string;
  readonly name: string;
  readonly reason: string;
}

export interface GaugeRanking {
  readonly kind: 'gauge-ranking';
  readonly run: string;
  readonly leadHours: number;
  /** Visits and floods that all candidates share. */
  readonly visits: number;
  readonly floods: number;
  /** Best first: gauges that can be read before going. */
  readonly warning: readonly RankedGauge[];
  /**
   * Best first: gauges that the creek leads, that say clearly more afterwards than before, and nothing sure before. Their skill is that of
   * the reading that comes afterwards.
   */
  readonly confirming: readonly RankedGauge[];
  /** P(a scores better than b) over floods drawn anew: beats[a][b], in the order of `warning`; 1/2 on the diagonal. */
  readonly beats: readonly (readonly number[])[];
  readonly choice: GaugeChoice;
  readonly aside: readonly GaugeAside[];
  /** What every output carries that could send somebody to the water. */
  readonly cautions: readonly string[];
}

/** Which gauge to read, and how good choosing like this was on floods that had no part in the choice. */
export interface GaugeChoice {
  /** Null where no candidate is better than the logged frequencies. */
  readonly id: string | null;
  readonly name: string | null;
  /**
   * `no-gauge`: nothing to choose from. `none-reliable`: no candidate surely beats the logged frequencies. `only-one`: nothing to compare
   * with. `best-single`: nothing that takes arithmetic clearly gains over it. `clear-gain`: it takes arithmetic, and clearly gains over
   * the best plain single gauge.
   */
  readonly why: 'no-gauge' | 'none-reliable' | 'only-one' | 'best-single' | 'clear-gain';
  /** The best plain single gauge. */
  readonly plain: { readonly id: string; readonly name: string } | null;
  /** What the choice gains over it; null where it is the choice, and where there is none. */
  readonly gain: Measured | null;
  /** Skill of whatever would have been chosen without each flood, on that flood. */
  readonly skill: Measured;
  /** Share of the floods without which the same gauge would have been chosen; null without floods. */
  readonly sameChoice: number | null;
  readonly sentence: string;
}
