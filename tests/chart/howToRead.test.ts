import { describe, expect, it } from 'vitest';
import { howToRead } from '../../src/chart/howToRead.js';
import { expectClose } from '../expectClose.js';

const flow = { parameter: 'discharge' } as const;
const height = { parameter: 'stage' } as const;

describe('howToRead', () => {
  it.each([
    [0, 0, 'Take the flow at the time you are there.'],
    [3, 0, 'Take the flow 3 hours before you arrive.'],
    [12.5, 0, 'Take the flow 12.5 hours before you arrive.'],
    [1, 0, 'Take the flow 1 hour before you arrive.'],
    [2.5, 0, 'Take the flow 2.5 hours before you arrive.'],
    [0, 12, 'Take the average of the flow at the time you are there and its mean over the last 48 hours.'],
    [4, 12, 'Take the average of the flow 4 hours before you arrive and its mean over the 48 hours up to then.'],
    [0, -10, 'Take the flow plus 10 times its change in the last hour (minus, when it falls).'],
    [0, -1, 'Take the flow plus its change in the last hour (minus, when it falls).'],
    [
      2,
      -10,
      'Take the flow 2 hours before you arrive plus 10 times its change in the hour before that (minus, when it falls).',
    ],
    [-2, 0, 'Take the flow 2 hours after you were there.'],
    [0.2, 0.1, 'Take the flow at the time you are there.'],
  ])('lag %f h, storage %f h', (lagHours, storageHours, says) => {
    expect(howToRead({ lagHours, storageHours }, flow)).toBe(says);
  });

  it('says height for a stage gauge, and the lead the chart was made for', () => {
    expect(howToRead({ lagHours: 4, storageHours: 0 }, { ...height, leadHours: 4 })).toBe(
      'Take the height 4 hours before you arrive. Made for deciding 4 hours ahead.',
    );
  });

  it('says what a rise is worth where the fit kept a limb term', () => {
    // 1.1³ = 1.331.
    expect(howToRead({ lagHours: 0, storageHours: 0 }, { ...flow, limbHours: 3 })).toBe(
      'Take the flow at the time you are there. For each tenth that it rises in an hour count it as 33 % more, for each tenth that it falls as 33 % less.',
    );
    expect(howToRead({ lagHours: 2, storageHours: 0 }, { ...height, limbHours: -1, leadHours: 2 })).toBe(
      'Take the height 2 hours before you arrive. For each tenth that it rises in an hour count it as 10 % less, for each tenth that it falls as 10 % more. Made for deciding 2 hours ahead.',
    );
    expect(howToRead({ lagHours: 0, storageHours: 0 }, { ...flow, limbHours: 0.01 })).toBe(
      'Take the flow at the time you are there.',
    );
  });

  it('refuses hours that are none', () => {
    expect(() => howToRead({ lagHours: NaN, storageHours: 0 }, flow)).toThrow(
      'howToRead: lag and storage must be finite hours, got NaN and 0',
    );
  });

  it('the plain mean over 2k hours is the exponential mean of time constant k, for water that changes steadily', () => {
    const k = 12;
    const q = (hoursAgo: number) => 50 - 0.7 * hoursAgo;
    const step = 0.001;
    let plain = 0;
    for (let a = step / 2; a < 2 * k; a += step) plain += (q(a) * step) / (2 * k);
    let weighted = 0;
    for (let a = step / 2; a < 40 * k; a += step) weighted += q(a) * Math.exp(-a / k) * (step / k);
    expectClose(plain, weighted, { abs: 1e-4, why: 'same mean age' });
    expectClose(plain, 50 - 0.7 * k, { abs: 1e-6, why: 'both equal the reading of k hours ago' });
  });
});
