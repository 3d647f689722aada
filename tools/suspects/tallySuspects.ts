import { fitLevels } from '../../src/fit/fitLevels.js';
import { suspectsOf } from '../../src/judge/suspects.js';
import { suspectWorld } from './suspectWorld.js';

/**
 * A slip is damaging when the reading written down is off by three times what gauge and creek usually differ by (σ 0.2, blur 0.12), and another verdict is
 * usual there.
 */
const DAMAGING = 0.7;

/** Counts over simulated logs. */
export interface SuspectTally {
  readonly logs: number;
  readonly wrong: number;
  readonly damaging: number;
  /** Damaging ones in the list, and those of them whose own slip is among the two likeliest explanations. */
  readonly caught: number;
  readonly named: number;
  readonly sound: number;
  /** Sound visits in the list. */
  readonly accused: number;
}

/** Simulates logs with seeds from `firstSeed` on and counts who is in the list. */
export function tallySuspects(logs: number, { firstSeed, wrong }: { firstSeed: number; wrong: number }): SuspectTally {
  const tally = { logs, wrong, damaging: 0, caught: 0, named: 0, sound: 0, accused: 0 };
  for (let seed = firstSeed; seed < firstSeed + logs; seed++) {
    const { aligned, late, off, otherWord } = suspectWorld(seed, { wrong });
    const { effective } = fitLevels(aligned, { modes: ['effective'], draws: 100, seed });
    const found = new Map(suspectsOf(effective, aligned).suspects.map((s) => [s.visit, s]));
    aligned.visitIds.forEach((id, i) => {
      const suspect = found.get(id);
      if (late[i] === 0) {
        tally.sound++;
        if (suspect !== undefined) tally.accused++;
      } else if (off[i] > DAMAGING && otherWord[i] === 1) {
        tally.damaging++;
        if (suspect === undefined) return;
        tally.caught++;
        if (suspect.explanations.slice(0, 2).some((e) => e.hours === late[i])) tally.named++;
      }
    });
  }
  return tally;
}
