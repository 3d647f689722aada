import { rankGauges } from '../../src/judge/gauges/rankGauges.js';
import { gaugeWorld, type GaugeWorld } from './gaugeWorld.js';

/** What `rankGauges` said of many invented creeks of one kind. */
export interface GaugeTally {
  readonly worlds: number;
  /** Share in which the candidate that scores best is a noise gauge, or a mean of noise gauges only. */
  readonly noiseFirst: number;
  /** Share in which the gauge chosen by the rule is. */
  readonly noiseChosen: number;
  readonly nothingChosen: number;
  /** Share in which a mean of several was chosen. */
  readonly combinedChosen: number;
  /** Share in which what was chosen rests on weather of the creek alone. */
  readonly rightChosen: number;
  /** Mean skill of the candidate that scored best, as scored: what choosing by luck would claim. */
  readonly bestSkill: number;
  /** Mean skill of the rule on floods that had no part in the choice: what is stated. */
  readonly statedSkill: number;
  readonly medianFloods: number;
}

/**
 * Ranks the gauges of many invented creeks.
 *
 * @param world what all of them share. @param options.worlds how many; seeds count up from `firstSeed`. @param options.combine as in `rankGauges`.
 */
export function tallyGauges(
  world: Omit<GaugeWorld, 'seed'>,
  {
    worlds,
    firstSeed,
    combine = 4,
    draws = 150,
    onWorld,
  }: { worlds: number; firstSeed: number; combine?: number; draws?: number; onWorld?: (done: number) => void },
): GaugeTally {
  const count = { noiseFirst: 0, noiseChosen: 0, nothingChosen: 0, combinedChosen: 0, rightChosen: 0 };
  let bestSkill = 0;
  let statedSkill = 0;
  const floods: number[] = [];
  for (let w = 0; w < worlds; w++) {
    const ranking = rankGauges(gaugeWorld({ ...world, seed: firstSeed + w }), { combine, draws, seed: firstSeed + w });
    const parts = (id: string): string[] => id.split('+');
    const isNoise = (id: string): boolean => parts(id).every((p) => p.startsWith('noise'));
    const first = ranking.warning[0];
    const { id, skill } = ranking.choice;
    if (isNoise(first.id)) count.noiseFirst++;
    if (id === null) count.nothingChosen++;
    else {
      if (isNoise(id)) count.noiseChosen++;
      if (parts(id).length > 1) count.combinedChosen++;
      if (parts(id).every((p) => p.startsWith('right'))) count.rightChosen++;
    }
    bestSkill += first.skill.againstFrequencies.value!;
    statedSkill += skill.value!;
    floods.push(ranking.floods);
    onWorld?.(w + 1);
  }
  const share = (sum: number): number => Math.round((1e4 * sum) / worlds) / 1e4;
  return {
    worlds,
    noiseFirst: share(count.noiseFirst),
    noiseChosen: share(count.noiseChosen),
    nothingChosen: share(count.nothingChosen),
    combinedChosen: share(count.combinedChosen),
    rightChosen: share(count.rightChosen),
    bestSkill: share(bestSkill),
    statedSkill: share(statedSkill),
    medianFloods: floods.sort((a, b) => a - b)[worlds >> 1],
  };
}
