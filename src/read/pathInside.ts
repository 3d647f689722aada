/**
 * Why a path from creek.json may not be opened, or undefined for a plain path below the folder. Judged by its text on every system alike, so that a
 * folder that is safe here is safe on a machine where a backslash or a drive letter means something.
 * @example pathProblem('../other/secret.txt') // "which climbs out with '..'"
 */
export function pathProblem(path: string): string | undefined {
  if (/[\u0000-\u001f\u007f]/.test(path)) return 'which holds a control character';
  if (path.includes('\\')) return 'which holds a backslash';
  if (path.startsWith('/') || /^[A-Za-z]:/.test(path)) return 'which is absolute';
  if (path.startsWith('~')) return 'which starts in a home folder';
  const parts = path.split('/');
  if (parts.includes('..')) return "which climbs out with '..'";
  if (parts.some((part) => part === '' || part === '.')) return "which has an empty or '.' part";
  if (parts.some((part) => part.endsWith(' ') || part.endsWith('.')))
    return 'which has a part that ends with a blank or a point';
  return undefined;
}
