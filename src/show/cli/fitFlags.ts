import type { Command } from 'commander';
import { collect, CORES_HELP, NO_CACHE_HELP, parseCores, parseLead, parseSeed } from './parseOptions.js';

/** What every command that fits is told. */
export interface FitFlags {
  readonly lead: number;
  readonly seed: number;
  readonly run?: readonly string[];
  readonly gauge?: readonly string[];
  readonly cores?: number;
  readonly cache: boolean;
  readonly json?: boolean;
}

/** Adds the options of a command that fits and writes nothing. */
export function addFitFlags(command: Command, { gaugeHelp = 'only this gauge (may be repeated)' } = {}): Command {
  return command
    .option('--cores <number>', CORES_HELP, parseCores)
    .option('--no-cache', NO_CACHE_HELP)
    .option('--lead <hours>', 'how long before being on the water the decision is made', parseLead, 0)
    .option('--seed <number>', 'seed of the random draws', parseSeed, 1)
    .option('--run <id>', 'only this run (may be repeated)', collect)
    .option('--gauge <id>', gaugeHelp, collect);
}

/** The flags as options of a folder's functions. */
export function fitOptionsOf({ lead, seed, run, gauge, cores }: FitFlags) {
  return {
    leadHours: lead,
    seed,
    ...(cores && { cores }),
    ...(run && { runs: run }),
    ...(gauge && { gauges: gauge }),
  };
}
