import { describe, expect, it } from 'vitest';
import { type Study, study } from '../../../core/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { StudyLine } from '../../../web/study/study-line.ts';
import { bentScene } from '../../helpers/small-review.ts';

const [UPRIGHT, BENT, FAR] = [0, 30, 80].map(bentScene) as [Scene, Scene, Scene];

class Rig {
  readonly asked: { scene: Scene; signal: AbortSignal; answer: (study: Study) => void }[] = [];
  readonly told: boolean[] = [];
  fault: Error | null = null;
  #waiting: (() => void) | null = null;
  readonly line: StudyLine = new StudyLine(
    (scene, _options, signal) =>
      new Promise((resolve, reject) => {
        if (this.fault !== null) reject(this.fault);
        this.asked.push({ scene, signal, answer: resolve });
      }),
    () => this.told.push(this.line.state.working),
    (work) => {
      this.#waiting = work;
      return () => {
        this.#waiting = null;
      };
    },
  );

  settle(): void {
    const work = this.#waiting;
    this.#waiting = null;
    work?.();
  }

  get waits(): boolean {
    return this.#waiting !== null;
  }
}

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

describe('the study of what is shown', () => {
  it('is asked for once the scene has settled, and says of which scene it is', async () => {
    const rig = new Rig();
    rig.line.look(UPRIGHT, false);
    rig.line.look(UPRIGHT, false);
    rig.line.look(BENT, false);
    expect(rig.asked).toEqual([]);
    expect(rig.line.state.working).toBe(true);
    rig.settle();
    expect(rig.asked.map(({ scene }) => scene)).toEqual([BENT]);
    const found = study(BENT);
    rig.asked[0]!.answer(found);
    await turn();
    expect(rig.line.state).toEqual({ study: found, scene: BENT, working: false, fault: null });
    rig.line.look(BENT, false);
    expect(rig.waits).toBe(false);
  });

  it('waits while something is dragged', () => {
    const rig = new Rig();
    rig.line.look(UPRIGHT, false);
    rig.line.look(BENT, true);
    rig.settle();
    expect(rig.asked).toEqual([]);
    rig.line.look(BENT, false);
    rig.settle();
    expect(rig.asked.map(({ scene }) => scene)).toEqual([BENT]);
  });

  it('gives up an older one, whose answer is not taken, and keeps its numbers till the new come', async () => {
    const rig = new Rig();
    rig.line.look(UPRIGHT, false);
    rig.settle();
    const first = study(UPRIGHT);
    rig.asked[0]!.answer(first);
    await turn();
    rig.line.look(BENT, false);
    rig.settle();
    rig.line.look(FAR, false);
    expect(rig.asked[1]!.signal.aborted).toBe(true);
    rig.asked[1]!.answer(study(BENT));
    await turn();
    expect(rig.line.state).toEqual({ study: first, scene: UPRIGHT, working: true, fault: null });
    rig.settle();
    rig.line.close();
    expect(rig.asked[2]!.signal.aborted).toBe(true);
  });

  it('asks anew with other options', () => {
    const rig = new Rig();
    const options = { pushHeight: 1 };
    rig.line.look(UPRIGHT, false, options);
    rig.settle();
    rig.line.look(UPRIGHT, false, options);
    expect(rig.waits).toBe(false);
    rig.line.look(UPRIGHT, false, { pushHeight: 1.2 });
    rig.settle();
    expect(rig.asked).toHaveLength(2);
  });

  it('says what went wrong, and forgets it with the next scene that can be studied', async () => {
    const rig = new Rig();
    rig.fault = new Error('rate is 0');
    rig.line.look(UPRIGHT, false);
    rig.settle();
    await turn();
    expect(rig.line.state).toEqual({
      study: null,
      scene: UPRIGHT,
      working: false,
      fault: 'rate is 0',
    });
    rig.fault = null;
    rig.line.look(BENT, false);
    rig.settle();
    rig.asked.at(-1)!.answer(study(BENT));
    await turn();
    expect(rig.line.state.fault).toBeNull();
  });
});
