/**
 * The thresholds, each with its reason (the long form, with the numbers behind it, is in docs/trust.md).
 *
 * Skill s means: what is left of the guesswork about the level is 1 - s (see `skillOf`). For normal errors 1 - s = √(1 - ρ²), with ρ the
 * correlation of gauge and creek.
 */
export const THRESHOLDS = Object.freeze({
  /**
   * What arithmetic must gain in skill to be worth its trouble. On eight real pairs over several seasons the effective reading's gains of
   * up to .07 in the log became -.04 to +.03 on later days.
   */
  clearGain: 0.03,
  /** Three verdicts for each of four edges and the blur of a five-class run; below that the prior speaks louder than the visits. */
  verdicts: 15,
  /**
   * The sign test: 8 is the fewest floods of which "all but one went the gauge's way" has odds below 5 % by luck (9/256; with 7 floods
   * 8/128).
   */
  floods: 8,
  /** A month holds more than one spell of weather; three weeks of storms don't. */
  spanDays: 30,
  /** Fewer verdicts outside the commonest class, and the whole skill hangs on a handful of days. */
  contrast: 5,
  /** Better than the base at all: the lower end of an 80 % interval above 0 is 90 % sure. */
  skillLow: 0,
  /** Records that share nothing but the seasons reach rank correlations of 0.5: 1 - √(1 - 0.5²) = 0.13. A relation must beat that. */
  skillRough: 0.15,
  /**
   * Against the gauge's own season one must be surer, 95 %: it is asked on top of three other checks, and season shared is the commonest
   * way to be fooled.
   */
  skillSeasonLow: 0,
  /** In simulation rivers that share a strong season and nothing else exceed a tenth in about one log of fifty: see docs/trust.md. */
  skillSeason: 0.1,
  /** Fewer than 3 verdicts beyond an edge of the good range, and its place is a guess: the rule of three leaves up to 3/n unseen. */
  besideGoodEdge: 3,
  /** More than half a class: the reading may belong to the neighbouring class for no other reason than the lag. */
  lagWorth: 0.5,
  /** With the sign open over more than one flood, a flood at the gauge may be paired with another one on the creek. */
  openLagFloods: 1,
  /** One person’s leaving moves an edge out of its interval: then the interval says nothing of the creek. */
  personMove: 1,
  /** The season window of the month base is 90 days; a shorter record can't tell gauge and season apart. */
  spanFairDays: 90,
  /** Two fifths of the guesswork gone: ρ = 0.8, two thirds of the variance. */
  skillFair: 0.4,
  skillFairLow: 0.2,
  /** Three fifths gone: ρ = 0.92, what is left is mostly the eyes' own disagreement. */
  skillGood: 0.6,
  skillGoodLow: 0.4,
  /** From about 40 verdicts and 15 floods on an 80 % interval of the skill is narrower than the step from fair to good. */
  verdictsGood: 40,
  floodsGood: 15,
  /**
   * Above a half, the left-out score mostly rests on weights that can't be trusted. With a quarter of them, refitting moved the skill by
   * 0.002.
   */
  undependable: 0.5,
  /** With the reading missing for more than a fifth, the chart is silent too often to be called good. */
  unmatched: 0.2,
});
