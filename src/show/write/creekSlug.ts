/** Names that Windows keeps for devices. */
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/;

/**
 * A creek's name as a folder name: lower-case letters and digits joined by hyphens, at most 60 characters. It can never
 * leave the output folder, whatever the name holds.
 * @example creekSlug('Größer Bach / upper') // 'grosser-bach-upper'
 */
export function creekSlug(name: string): string {
  const slug = name
    .replace(/ß/g, 'ss')
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-');
  const short = [...slug]
    .slice(0, 60)
    .join('')
    .replace(/^-+|-+$/g, '');
  if (short === '') return 'creek';
  return RESERVED.test(short) ? `creek-${short}` : short;
}
