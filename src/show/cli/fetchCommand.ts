import type { Command, Option } from 'commander';
import { counted, figures, minute } from '../../series/format.js';
import { plainText } from '../text/plainText.js';
import { stableJson } from '../write/stableJson.js';
import type { GaugeFetched } from '../fetch/fetchFolder.js';
import type { CliIo } from './cliIo.js';
import { EXIT, EXIT_HELP } from './exitCodes.js';
import { collect } from './parseOptions.js';

interface FetchFlags {
  readonly gauge?: readonly string[];
  readonly json?: boolean;
}

/** Adds the only command that asks anything of the net. */
export function addFetch(
  program: Command,
  io: CliIo,
  { end, options }: { end: (exitCode: number) => void; options: readonly Option[] },
): void {
  const command = program
    .command('fetch')
    .description('fetch newer readings from the services that creek.json names (gauges[].fetch) into gauges/')
    .argument('<folder>', 'creek folder')
    .option('--gauge <id>', 'only this gauge (may be repeated)', collect)
    .addHelpText('after', `\nExample:\n  $ sightstage fetch larch-creek\n\n${EXIT_HELP}`)
    .action(async (folder: string, { gauge, json }: FetchFlags) => {
      const done = await fetchNow(folder, { gauges: gauge });
      io.out(json ? stableJson({ kind: 'fetched', gauges: done }) : fetchedText(done));
      end(done.every(({ kind }) => kind === 'failed') ? EXIT.failed : EXIT.fine);
    });
  for (const option of options) command.addOption(option);
}

/** @throws WrongUse for a folder that is not there or names no service */
export async function fetchNow(
  folder: string,
  { gauges }: { gauges?: readonly string[] | undefined } = {},
): Promise<readonly GaugeFetched[]> {
  const [{ fetchFolder }, { existingFolder }] = await Promise.all([
    import('../fetch/fetchFolder.js'),
    import('./existingFolder.js'),
  ]);
  return fetchFolder(existingFolder(folder), { gauges, presentMs: Date.now() });
}

/** One line a gauge; readings that the service has changed since, below it. */
export function fetchedText(done: readonly GaugeFetched[]): string {
  return done
    .flatMap((one) => [sentence(one), ...one.revised.slice(0, 5).map(revision)])
    .map((line) => `${plainText(line)}\n`)
    .join('');
}

function sentence({ name, host, kind, readings, added, revised, lastMs, why }: GaugeFetched): string {
  if (kind === 'failed') return `${name}: nothing fetched. ${why!}.`;
  const until = lastMs === null ? '' : `, the last of ${minute(lastMs, 'UTC')} UTC`;
  if (kind === 'unchanged') return `${name}: nothing newer at ${host}${until}.`;
  const changed = revised.length === 0 ? '' : `, ${revised.length} revised since`;
  return `${name}: ${counted(readings, 'reading')} from ${host}${until}; ${added} new${changed}.`;
}

function revision({ timeMs, before, after }: GaugeFetched['revised'][number]): string {
  return `  ${minute(timeMs, 'UTC')} UTC: ${figures(before)} is now ${figures(after)}`;
}
