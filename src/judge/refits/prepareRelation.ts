import { warmStarts, type Question } from '../../fit/warmStart.js';
import type { JudgeContext, Prepared } from './types.js';

/** Draws that each question can count on: the chart's own lead carries the scores, the others are points of a curve. */
const DRAWS = { own: 300, later: 100, edges: 800 } as const;

/**
 * Where the fits of a relation start: modes and draws of the full fit, for all questions about left-out floods together and for the edges of the
 * way of reading that is judged. Pure; the same context gives the same start.
 */
export function prepareRelation({ relation, questions, way, depth, seed }: JudgeContext): Prepared {
  const { aligned, fits, gridPrior } = relation;
  const { leadHours } = fits.effective;
  const drawsOf = (question: Question): number => (question.leadHours === leadHours ? DRAWS.own : DRAWS.later);
  const edges = depth === 'full' ? [[{ way, leadHours, draws: DRAWS.edges }]] : [];
  const [floodStart, edgeStart] = warmStarts(aligned, fits, {
    wanted: [questions.map((question) => ({ ...question, draws: drawsOf(question) })), ...edges],
    seed,
    gridPrior,
  });
  return Object.freeze({ floods: floodStart ?? null, edges: edgeStart ?? null });
}
