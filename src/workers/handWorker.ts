import { breathe } from './breathe.ts';
import { Hand } from './hand.ts';
import type { ToHand } from './handProtocol.ts';

/** After so long without work its memory is let go, ms. */
const REST_MS = 4_000;
let resting: ReturnType<typeof setTimeout> | undefined;

const hand = new Hand({
  post: (message, transfer) => {
    self.postMessage(message, { transfer });
    resting = setTimeout(() => hand.rest(), REST_MS);
  },
  breathe,
  now: () => performance.now(),
});

self.onmessage = ({ data }: MessageEvent<ToHand>) => {
  clearTimeout(resting);
  hand.hear(data);
};
