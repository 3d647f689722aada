import { expect, it } from 'vitest';

it('runs in the zone that the test settings pin, so that a leak of the machine zone shows in the second pass', () => {
  const minutes = new Date(Date.UTC(2031, 6, 1)).getTimezoneOffset();
  expect(minutes).toBe({ UTC: 0, 'America/St_Johns': 150 }[process.env['TZ'] ?? 'unset']);
});
