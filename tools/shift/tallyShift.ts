import { fitLevels } from '../../src/fit/fitLevels.js';
import { SHIFT_FOUND, shiftOf } from '../../src/judge/shift.js';
import { simulateHistory, type History } from './simulateHistory.js';

/** What `shiftOf` said of many simulated histories of one kind. */
export interface ShiftTally {
  readonly histories: number;
  /** Share in which a step was called found. */
  readonly found: number;
  /** The same at other thresholds of the probability. */
  readonly foundAt: Readonly<Record<string, number>>;
  /** Share in which Pettitt's p for the floods' mean residuals is below 0.05. */
  readonly pettittBelow5: number;
  readonly medianProbability: number;
  /** Of those found where there is a step: mean error of its size (ln units), and share of 80 % intervals that hold size and date. */
  readonly sizeError: number | null;
  readonly sizeInside80: number | null;
  readonly dateInside80: number | null;
}

/**
 * Simulates histories and judges each.
 *
 * @param world what all of them share. @param options.histories how many; options.firstSeed seeds count up from here.
 */
export function tallyShift(
  world: Omit<History, 'seed'>,
  { histories, firstSeed, onHistory }: { histories: number; firstSeed: number; onHistory?: (done: number) => void },
): ShiftTally {
  const step = world.step ?? 0;
  const side = world.visitsEachSide ?? 40;
  const probability: number[] = [];
  let pettitt = 0;
  let found = 0;
  let error = 0;
  let sizeInside = 0;
  let dateInside = 0;
  for (let h = 0; h < histories; h++) {
    const seed = firstSeed + h;
    const aligned = simulateHistory({ ...world, seed });
    const { effective } = fitLevels(aligned, { modes: ['effective'], draws: 200, seed });
    const finding = shiftOf(effective, aligned);
    probability.push(finding.probability!);
    if (finding.pettitt!.p < 0.05) pettitt++;
    if (finding.found) {
      found++;
      const { size, date80Ms } = finding.step!;
      error += size.median - step;
      if (size.i80[0] <= step && step <= size.i80[1]) sizeInside++;
      const [before, after] = [aligned.visitTimesMs[side - 1], aligned.visitTimesMs[side]];
      if (date80Ms[0] <= before && after <= date80Ms[1]) dateInside++;
    }
    onHistory?.(h + 1);
  }
  const sorted = Float64Array.from(probability).sort();
  const at = (threshold: number) => round(probability.filter((p) => p >= threshold).length / histories);
  const ofFound = (sum: number) => (step !== 0 && found > 0 ? round(sum / found) : null);
  return {
    histories,
    found: round(found / histories),
    foundAt: { '0.8': at(0.8), '0.9': at(0.9), '0.95': at(0.95), rule: SHIFT_FOUND },
    pettittBelow5: round(pettitt / histories),
    medianProbability: round(sorted[Math.floor(histories / 2)]),
    sizeError: ofFound(error),
    sizeInside80: ofFound(sizeInside),
    dateInside80: ofFound(dateInside),
  };
}

function round(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}
