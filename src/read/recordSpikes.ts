import { usualStep, type Readings } from './recordJumps.js';

const DAY_MS = 86_400_000;
/** A spike rises from both neighbours by this many times the step that is seldom exceeded, and the largest other step within a day. */
const OUTLYING = 1.5;
const BEYOND_DAY = 5;

/** Readings that stand out from both neighbours while these agree: their places. */
export function recordSpikes({ timesMs, level }: Readings): readonly number[] {
  const usual = usualStep(level);
  const step = (k: number): number => Math.abs(level[k]! - level[k - 1]!);
  const spikes: number[] = [];
  for (let i = 1; i + 1 < level.length; i++) {
    const rise = Math.min(step(i), step(i + 1));
    const turns = level[i]! > level[i - 1]! === level[i]! > level[i + 1]!;
    if (!turns || !(rise > OUTLYING * usual) || timesMs[i + 1]! - timesMs[i - 1]! > DAY_MS) continue;
    let others = Math.abs(level[i + 1]! - level[i - 1]!);
    for (let k = i - 1; k > 0 && timesMs[i]! - timesMs[k - 1]! <= DAY_MS; k--) others = Math.max(others, step(k));
    for (let k = i + 2; k < level.length && timesMs[k]! - timesMs[i]! <= DAY_MS; k++)
      others = Math.max(others, step(k));
    if (rise > BEYOND_DAY * others) spikes.push(i);
  }
  return spikes;
}
