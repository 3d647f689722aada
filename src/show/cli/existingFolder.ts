import { statSync } from 'node:fs';
import { plainText } from '../text/plainText.js';
import { WrongUse } from './exitCodes.js';

/** The folder as it was given. @throws WrongUse where there is none, saying how to make one. */
export function existingFolder(folder: string): string {
  if (!statSync(folder, { throwIfNoEntry: false })?.isDirectory())
    throw new WrongUse(`no such folder: ${plainText(folder)}. Make one with: sightstage new ${plainText(folder)}`);
  return folder;
}
