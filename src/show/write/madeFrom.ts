import { existsSync, readFileSync, realpathSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';

/** Names the creek folder that an output folder was made from, as a path from there: the one output that depends on where folders lie. */
export const MADE_FROM = 'made-from.txt';

/** What MADE_FROM says. `folder` must exist. */
export function madeFromText(outputs: string, folder: string): string {
  return `${relative(realpathSync(outputs), realpathSync(folder)).replaceAll('\\', '/')}\n`;
}

/** The other creek folder whose chart lies in an output folder; undefined where it is this one's, nobody's, or of a folder that is gone. */
export function otherOwner(outputs: string, folder: string): string | undefined {
  const note = join(outputs, MADE_FROM);
  if (!existsSync(note)) return undefined;
  const owner = resolve(realpathSync(outputs), readFileSync(note, 'utf8').trimEnd());
  if (!existsSync(join(owner, 'creek.json')) || realpathSync(owner) === realpathSync(folder)) return undefined;
  return owner;
}
