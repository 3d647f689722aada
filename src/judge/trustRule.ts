import type { LoggedEvidence } from './evidence.js';
import type { LagSign } from './lagSign.js';
import type { SeasonSkill } from './skillAgainstSeason.js';
import type { Grade, Skill, TrustCheck } from './types.js';

/** What the grade is made from. */
export interface GradeInput {
  readonly evidence: LoggedEvidence;
  /** Skill with floods left out; null where nothing could be fitted. */
  readonly skill: Skill | null;
  /** Share of the verdicts in floods whose leave-out weights have k̂ above 0.7. */
  readonly undependableShare: number;
  /** Share of the verdicts without a reading. */
  readonly unmatchedShare: number;
  /** What the uncertainty of the lag is worth in classes; NaN where it can't be said. */
  readonly lagWorth: number;
  /** Skill against the gauge's own usual reading of the season; null where it can't be worked out, left away where it was not asked. */
  readonly againstSeason?: SeasonSkill | null | undefined;
  /** Whether it is open that the gauge leads; null where it can't be said, left away where it was not asked. */
  readonly lagSign?: LagSign | null | undefined;
}

export interface TrustRule extends Omit<TrustCheck, 'pass' | 'essential'> {
  /** The best grade that stays possible when this check fails. */
  readonly cap: Grade;
  /** A plain sentence for when it fails. */
  readonly fails: string;
}
