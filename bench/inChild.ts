import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** What one measured job reports: processor seconds of the work itself (other jobs of the machine do not count) and the process's highest memory. */
export interface Measured {
  readonly seconds: number;
  readonly peakMb: number;
  /** A number that depends on all of the work, so that both sides can be seen to have done the same. */
  readonly check: number;
}

/** Runs a bench file in a process of its own, so that its peak memory is its own too, and reads the figures it prints. */
export function inChild(file: string, ...args: readonly string[]): Measured {
  const path = fileURLToPath(new URL(file, import.meta.url));
  const child = spawnSync(process.execPath, ['--import', 'tsx', path, ...args], { encoding: 'utf8' });
  if (child.status !== 0) throw new Error(`${file} ${args.join(' ')} ended with ${child.status}: ${child.stderr}`);
  return JSON.parse(child.stdout.trim().split('\n').at(-1)!) as Measured;
}

/** Does the work once and prints its figures as the last line. */
export function report(work: () => number): void {
  const { seconds, result: check } = cpuSeconds(work);
  // maxRSS is in kilobytes on every platform.
  console.log(JSON.stringify({ seconds, peakMb: process.resourceUsage().maxRSS / 1024, check } satisfies Measured));
}

/** Processor seconds of a job, user and system together. */
export function cpuSeconds<T>(work: () => T): { seconds: number; result: T } {
  const from = process.cpuUsage();
  const result = work();
  const { user, system } = process.cpuUsage(from);
  return { seconds: (user + system) / 1e6, result };
}

/** Median of a few numbers. */
export function middle(numbers: readonly number[]): number {
  return [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)]!;
}
