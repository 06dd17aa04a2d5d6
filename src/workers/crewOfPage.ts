import type { Crew } from '#engine/cloth/crew.ts';
import { type HandPort, MOST_HANDS, WorkerCrew } from './workerCrew.ts';

const startHand = () =>
  new Worker(new URL('./handWorker.ts', import.meta.url), { type: 'module' }) as unknown as HandPort;

const crews = new Map<number, Crew>();

/**
 * The threads that share work with this one; undefined where fewer than two can be had. Started when they are first needed and
 * kept. One core is left to the page.
 * @param hands threads at most; as many as the machine has cores beside the page's by itself
 */
export function crewOfPage(hands = navigator.hardwareConcurrency - 1): Crew | undefined {
  const count = Math.min(MOST_HANDS, Math.floor(hands));
  if (!(count >= 2) || typeof Worker === 'undefined') return undefined;
  const crew = crews.get(count) ?? new WorkerCrew(count, startHand);
  crews.set(count, crew);
  return crew;
}
