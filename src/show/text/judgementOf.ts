import type { CreekTrust, Judgement } from '../../judge/judgement.js';

/** The judgement of one run by one gauge; undefined where the creek was not judged. */
export function judgementOf(trust: CreekTrust | undefined, run: string, gauge: string): Judgement | undefined {
  return trust?.runs.find(({ id }) => id === run)?.gauges.find((judgement) => judgement.gauge === gauge);
}
