import { withoutUnseen } from '../series/unseen.js';

/** Names that Windows keeps for devices, with any ending. */
const DEVICE = /^(?:con|prn|aux|nul|com[\d¹²³]|lpt[\d¹²³])\s*(?:\.|$)/i;

/**
 * Why a path from creek.json may not be opened, or undefined for a plain path below the folder. Judged by its text on every system alike,
 * so that a folder that is safe here is safe on a machine where a backslash, a drive letter, a colon (a second stream of a file) or a name
 * such as NUL (a device, which may never answer) means something. Links are judged where the file is opened.
 * @example pathProblem('../other/secret.txt') // "which climbs out with '..'"
 */
export function pathProblem(path: string): string | undefined {
  if (withoutUnseen(path) !== path || /[\t\n\r]/.test(path)) return 'which holds a control or an invisible character';
  if (path.includes('\\')) return 'which holds a backslash';
  if (path.startsWith('/') || /^[A-Za-z]:/.test(path)) return 'which is absolute';
  if (/[:*?"<>|]/.test(path)) return 'which holds one of : * ? " < > |';
  if (path.startsWith('~')) return 'which starts in a home folder';
  const parts = path.split('/');
  if (parts.includes('..')) return "which climbs out with '..'";
  if (parts.some((part) => part === '' || part === '.')) return "which has an empty or '.' part";
  if (parts.some((part) => part.endsWith(' ') || part.endsWith('.')))
    return 'which has a part that ends with a blank or a point';
  if (parts.some((part) => DEVICE.test(part))) return 'which names a device of Windows';
  return undefined;
}
