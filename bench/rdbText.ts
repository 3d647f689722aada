/** RDB text of a record at 15 min with as many rows as asked, 9 flags among a thousand; invented numbers. */
export function rdbText(rows: number): string {
  const head =
    '# invented record for a benchmark\n' +
    'agency_cd\tsite_no\tdatetime\ttz_cd\t1_00060\t1_00060_cd\n5s\t15s\t20d\t6s\t14n\t10s\n';
  const lines: string[] = [];
  const from = Date.UTC(2001, 0, 1);
  for (let i = 0; i < rows; i++) {
    const time = new Date(from + i * 900_000).toISOString();
    const value = i % 1000 < 9 ? 'Ice' : (100 + 80 * Math.sin(i / 500)).toFixed(1);
    lines.push(
      `OWO\t70440125\t${time.slice(0, 10)} ${time.slice(11, 16)}\tUTC\t${value}\t${i % 4 === 0 ? 'P' : 'A'}\n`,
    );
  }
  return head + lines.join('');
}
