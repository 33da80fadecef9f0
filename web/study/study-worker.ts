import { Jobs } from './jobs.ts';
import type { Ask } from './messages.ts';

/** The worker that studies scenes and finds ways back, so that neither ever holds the page up. */

const { port1: inner, port2: outer } = new MessageChannel();

// A message to itself comes back after those that were already waiting.
const letIn = (): Promise<void> =>
  new Promise((resolve) => {
    inner.onmessage = () => resolve();
    outer.postMessage(null);
  });

const jobs = new Jobs((answer) => self.postMessage(answer), letIn);

self.addEventListener('message', ({ data }: MessageEvent<Ask>) => jobs.take(data));
