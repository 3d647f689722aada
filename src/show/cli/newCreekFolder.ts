import { mkdir, readdir, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { plainText } from '../text/plainText.js';
import { creekTemplate } from './creekTemplate.js';
import { WrongUse } from './exitCodes.js';

/**
 * Makes a creek folder with an example of everything, explained in its README.txt. An empty folder that exists is used.
 * @param folder must not exist or be empty
 * @param options name (default: the folder's name) and timeZone (IANA, default UTC)
 * @returns the files written, as paths
 * @throws WrongUse when the folder holds anything, is a file, or the zone is unknown; nothing is written then
 * @example await newCreekFolder('larch-creek', { timeZone: 'America/Denver' })
 */
export async function newCreekFolder(
  folder: string,
  { name, timeZone = 'UTC' }: { name?: string | undefined; timeZone?: string } = {},
): Promise<readonly string[]> {
  if (!isZone(timeZone))
    throw new WrongUse(`'${plainText(timeZone)}' is not an IANA time zone; expected for example Europe/Vienna`);
  await refuseUnlessEmpty(folder);
  const files = creekTemplate({ name: name ?? basename(resolve(folder)), timeZone });
  const written: string[] = [];
  for (const [file, text] of files) {
    const path = join(folder, file);
    await mkdir(dirname(path), { recursive: true });
    await writeFile(path, text, { flag: 'wx' });
    written.push(path);
  }
  return written;
}

function isZone(timeZone: string): boolean {
  try {
    return new Intl.DateTimeFormat('en', { timeZone }).resolvedOptions().timeZone !== '';
  } catch {
    return false;
  }
}

async function refuseUnlessEmpty(folder: string): Promise<void> {
  let inside: string[];
  try {
    inside = await readdir(folder);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT') return;
    if (code === 'ENOTDIR') throw new WrongUse(`${plainText(folder)} is a file; give the name of a new folder`);
    throw error;
  }
  if (inside.length > 0)
    throw new WrongUse(`${plainText(folder)} is not empty; nothing was written. Give the name of a new folder.`);
}
