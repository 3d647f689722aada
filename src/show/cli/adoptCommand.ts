import { Option, type Command } from 'commander';
import { counted } from '../../series/format.js';
import { DISCHARGE_UNITS, STAGE_UNITS } from '../../series/units.js';
import { plainText } from '../text/plainText.js';
import { wrapText } from '../text/wrapText.js';
import { stableJson } from '../write/stableJson.js';
import type { Adopted, AdoptOptions } from './adoptFolder.js';
import type { CliIo } from './cliIo.js';
import { WrongUse } from './exitCodes.js';

interface Flags extends AdoptOptions {
  readonly zone?: string;
  readonly json?: boolean;
}

/** `adopt`: takes spreadsheets of visits and gauge downloads as they are into a creek folder. */
export function addAdopt(program: Command, io: CliIo, { options }: { options: readonly Option[] }): void {
  const command = program
    .command('adopt')
    .description('take a spreadsheet of visits or a gauge download as it is into a creek folder')
    .argument('<files...>', 'exported CSV files or downloads, then the creek folder')
    .addOption(new Option('--as <kind>', 'what the file is (default: by its looks)').choices(['visits', 'gauge']))
    .option('--run <id>', 'run of all rows, where no column says it')
    .addOption(
      new Option('--unit <unit>', 'unit of the readings of a gauge').choices([...DISCHARGE_UNITS, ...STAGE_UNITS]),
    )
    .option('--zone <zone>', 'IANA time zone, for a folder without creek.json')
    .option('--name <name>', "the creek's name, for a folder without creek.json")
    .addHelpText('after', '\nExample:\n  $ sightstage adopt club-log.csv river.csv larch-creek --zone Europe/Vienna');
  for (const option of options) command.addOption(option);
  command.action(async (paths: string[], flags: Flags) => {
    if (paths.length < 2)
      throw new WrongUse('give a file and the creek folder: sightstage adopt club-log.csv larch-creek');
    const { adoptFile } = await import('./adoptFolder.js');
    const folder = paths.at(-1)!;
    const adopted: Adopted[] = [];
    for (const path of paths.slice(0, -1))
      adopted.push(await adoptFile(path, folder, { ...flags, ...(flags.zone && { timeZone: flags.zone }) }));
    if (flags.json) return io.out(stableJson({ kind: 'adopted-files', folder, files: adopted }));
    for (const one of adopted) io.out(adoptedText(one, io.columns));
    io.out(`Written into ${plainText(folder)}/creek.json; the files stay as they are.\n${await readText(folder)}`);
  });
}

/** What the folder holds now, and what it needs next. */
async function readText(folder: string): Promise<string> {
  const { loadCreekFolder } = await import('../creekFolder.js');
  const { creek, counts, visits } = loadCreekFolder(folder);
  const check = `sightstage check ${plainText(folder)}`;
  if (creek === undefined)
    return `A creek needs runs and a gauge: adopt the missing file too. ${check} says what else.\n`;
  const { sightingsUsed, sightingRows, gaugeValuesUsed } = counts;
  const log = `${sightingsUsed} of ${counted(sightingRows, 'sighting')} in ${counted(visits.length, 'visit')}`;
  return `As it is read now: ${log}; ${counted(gaugeValuesUsed, 'reading')}. Next: ${check}\n`;
}

function adoptedText({ file, as, guessed, toSettle }: Adopted, width: number): string {
  const list = (items: readonly string[]) =>
    items.flatMap((item) => wrapText(plainText(item), { width, first: '  - ' }));
  return `${[
    `${plainText(file)}: ${as === 'gauge' ? "a gauge's record" : 'a log of visits'}`,
    ' Guessed:',
    ...list(guessed),
    ...(toSettle.length > 0 ? [' For you to settle in creek.json:', ...list(toSettle)] : []),
  ].join('\n')}\n\n`;
}
