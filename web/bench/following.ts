import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Camera } from '../../core/document/index.ts';
import type { LiveDraft, Session } from '../session/index.ts';
import { leaderFor } from '../together/going.ts';
import type { Looking } from './looking.ts';
import { cameraOf, placeBetween, placeOf, samePlace } from './shared-camera.ts';

/** In this time the way to where the other looks shrinks to a third, milliseconds. */
const GLIDE_MS = 60;

const still = window.matchMedia('(prefers-reduced-motion: reduce)');

interface FollowingHost extends ReactiveControllerHost {
  readonly session: Session;
  readonly live: LiveDraft;
  readonly looking: Looking;
  /** Number that the shot gives its first frame. */
  readonly firstFrame: number;
}

/**
 * Shows to the others how I look at the draft, and looks as somebody else does while I go with them:
 * smoothly, or at once where motion is not wanted.
 */
export class Following implements ReactiveController {
  readonly #host: FollowingHost;
  #shown = '';
  #goal: Camera | null = null;
  #glide: number | null = null;
  #last = 0;

  constructor(host: FollowingHost) {
    this.#host = host;
    host.addController(this);
  }

  hostDisconnected(): void {
    this.#stop();
    this.#shown = '';
    this.#host.session.show({ camera: null });
  }

  hostUpdated(): void {
    const { session, live, looking } = this.#host;
    if (!looking.ready) return;
    if (session.showing.with === null) {
      this.#goal = null;
      this.#showMine();
      return;
    }
    this.#shown = '';
    const leader = leaderFor(session);
    const here = leader?.draft === live.draft ? leader : null;
    this.#goal = here?.camera ?? null;
    if (this.#goal !== null) this.#start();
    if (here?.frame != null) live.setFrame(here.frame - this.#host.firstFrame);
  }

  #showMine(): void {
    const { session, looking } = this.#host;
    const camera = cameraOf(looking.place, looking.sheets);
    const text = JSON.stringify(camera);
    if (text === this.#shown) return;
    this.#shown = text;
    session.show({ camera });
  }

  #start(): void {
    if (this.#glide !== null) return;
    this.#last = performance.now();
    this.#glide = requestAnimationFrame(this.#step);
  }

  #stop(): void {
    if (this.#glide !== null) cancelAnimationFrame(this.#glide);
    this.#glide = null;
  }

  readonly #step = (now: number): void => {
    this.#glide = null;
    const { looking } = this.#host;
    if (this.#goal === null || !looking.ready) return;
    const place = placeOf(this.#goal, looking.place, looking.sheets);
    if (samePlace(looking.place, place)) return;
    // From one view to another there is no way between.
    const cut = still.matches || looking.view !== place.view;
    const share = cut ? 1 : 1 - Math.exp(-(now - this.#last) / GLIDE_MS);
    const next = placeBetween(looking.place, place, share);
    looking.take(cut || samePlace(next, place) ? place : next);
    this.#last = now;
    this.#glide = requestAnimationFrame(this.#step);
  };
}
