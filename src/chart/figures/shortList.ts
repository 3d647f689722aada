/**
 * A list for an alt text: as many items as fit into `most` characters, the first one always, then how many are left. A picture in words is
 * listened to, and the table has all of them.
 * @example shortList(['low 3', 'good 5', 'high 9'], { most: 14 }) // 'low 3; good 5; and 1 more'
 */
export function shortList(
  items: readonly string[],
  { most, between = '; ' }: { most: number; between?: string },
): string {
  let kept = Math.min(1, items.length);
  let length = items[0]?.length ?? 0;
  while (kept < items.length && length + between.length + items[kept]!.length <= most) {
    length += between.length + items[kept]!.length;
    kept += 1;
  }
  const left = items.length - kept;
  return [...items.slice(0, kept), ...(left === 0 ? [] : [`and ${left} more`])].join(between);
}
