import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { add, type PictureCamera, scale, type Vec2 } from '../../core/geometry/index.ts';
import {
  type Axis,
  across,
  type Extent,
  type Eye,
  elevationEye,
  fitAxis,
  fitOrbit,
  type Orbit,
  orbitEye,
  type PictureFrame,
  pictureEye,
  planAcross,
  planDown,
  planMiddle,
  type View,
} from './camera.ts';
import type { Place, Sheets } from './shared-camera.ts';
import { NOBODY } from './shown.ts';

/** Scale of the shared axis, CSS pixels a metre, and distance of the free camera, metres. */
const SCALE_RANGE = [25, 2400] as const;
const DISTANCE_RANGE = [0.5, 60] as const;
/** A clip's whole way is shown as long as that draws it at this share of the size it could have. */
const SMALLEST_SHARE = 0.6;
/** Feet stay within this share of the plan's size from its middle. */
const PLAN_SHARE = 0.32;
/** Radians that the free camera turns for a pixel. */
const TURN_PER_PIXEL = 0.008;

const PICTURE_ZOOM = [0.2, 20] as const;
const WHOLE_PICTURE = { zoom: 1, away: [0, 0] } as const;

/** A lined-up picture: its camera and its size, pixels. */
export interface Through {
  readonly camera: PictureCamera;
  readonly size: Vec2;
}

const within = (value: number, [low, high]: readonly [number, number]): number =>
  Math.max(low, Math.min(high, value));

/** Which way the bench looks, shared by elevation and plan: view, zoom, place, free camera. */
export class Looking implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  view: View = 'front';
  axis: Axis = { width: 0, scale: 200, centre: 0, low: -0.2, planCentre: 0 };
  orbit: Orbit = fitOrbit(NOBODY);
  height = 0;
  planHeight = 0;
  #extent: Extent | null = null;
  /** What is seen in this very frame; `#extent` is the whole way of a clip. */
  #now: Extent = NOBODY;
  /** The way is so long that the sheet goes along with the figure. */
  #follows = false;
  /** The person chose a view: drafts that are opened later keep it. */
  #chosen = false;
  /** The person moved or zoomed: nothing is fitted behind their back any more. */
  #placed = false;
  #eye: Eye | null = null;
  #through: Through | null = null;
  #pictureMoved: { readonly zoom: number; readonly away: Vec2 } = WHOLE_PICTURE;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    this.#eye = null;
  }

  /** True once the drawings have a size. */
  get ready(): boolean {
    return this.axis.width > 0 && this.height > 0;
  }

  get eye(): Eye {
    this.#eye ??= this.#open();
    return this.#eye;
  }

  #open(): Eye {
    const { view, axis, height } = this;
    if (view === 'picture' && this.#through !== null)
      return pictureEye(this.#through.camera, this.pictureFrame(this.#through.size));
    if (view === 'front' || view === 'side') return elevationEye(view, axis, height);
    return orbitEye(this.orbit, axis.width, height);
  }

  /** True where elevation and plan share their horizontal axis. */
  get level(): boolean {
    return this.view === 'front' || this.view === 'side';
  }

  /** What the picture view looks through; null where the marks give no camera: then it is the free one. */
  lookThrough(through: Through | null): void {
    if (JSON.stringify(through) === JSON.stringify(this.#through)) return;
    this.#through = through;
    if (this.view === 'picture') this.#changed();
  }

  /** Where a picture of some size lies on the sheet in the picture view: whole, and then as moved. */
  pictureFrame([width, height]: Vec2): PictureFrame {
    const fit = Math.min(this.axis.width / width, this.height / height);
    const { zoom, away } = this.#pictureMoved;
    return {
      middle: [this.axis.width / 2 + away[0], this.height / 2 + away[1]],
      scale: fit * zoom,
    };
  }

  /** Where it looks from now. */
  get place(): Place {
    const { view, axis, orbit } = this;
    return { view, axis, orbit };
  }

  get sheets(): Sheets {
    return { width: this.axis.width, height: this.height };
  }

  /** Looks from a place that somebody else chose; nothing is fitted until everything is asked for. */
  take({ view, axis, orbit }: Place): void {
    this.#chosen = true;
    this.#placed = true;
    this.view = view;
    const perMetre = within(axis.scale, SCALE_RANGE);
    this.axis = { ...axis, scale: perMetre };
    this.orbit = { ...orbit, distance: within(orbit.distance, DISTANCE_RANGE) };
    this.#changed();
  }

  /**
   * The two drawings' sizes, CSS pixels. What lies in the middle of a placed elevation stays in the
   * middle, for whoever goes along looks at the same. `still`: nothing is fitted anew, a drag is under way.
   */
  resize(width: number, height: number, planHeight: number, still: boolean): void {
    if (this.axis.width === width && this.height === height && this.planHeight === planHeight) {
      return;
    }
    const known = this.ready;
    const grown = known ? (height - this.height) / this.axis.scale : 0;
    this.axis = { ...this.axis, width, low: this.axis.low - grown / 2 };
    this.height = height;
    this.planHeight = planHeight;
    if (!this.#placed && !(still && known)) this.#fit();
    this.#changed();
  }

  /**
   * Says what is to be seen. The sheet moves only where it must: at first, and when something is
   * about to leave it, and never where the person has chosen a place.
   * @param travels everything that is seen in the course of a clip
   */
  setExtent(extent: Extent, travels: Extent = extent): void {
    // A clip that has just been read, or none yet: look at all of it.
    const anew = this.#extent === null || (travels !== extent && travels !== this.#extent);
    this.#now = extent;
    this.#extent = travels;
    if (anew) this.#fit();
    else if (this.#placed) return;
    else if (this.#follows) this.#follow();
    else if (!this.#holds(extent)) this.#fit();
    else if (!this.#planHolds(extent)) this.#centrePlan();
    else return;
    this.#changed();
  }

  #holds({ min, max }: Extent): boolean {
    if (!this.ready) return true;
    const { axis, height, eye } = this;
    return [min, max].every((corner) => {
      const { x, y } = eye.project(corner);
      return x >= 0 && x <= axis.width && y >= 0 && y <= height;
    });
  }

  #planHolds({ footing }: Extent): boolean {
    const { axis, planHeight, view } = this;
    const middle = planMiddle(footing);
    const down = Math.abs(planDown(view, middle) - axis.planCentre) * axis.scale;
    const aside = Math.abs(planAcross(view, middle) - axis.centre) * axis.scale;
    return down < planHeight * PLAN_SHARE && aside < axis.width * PLAN_SHARE;
  }

  /** Brings the feet back into the plan; sideways only where no elevation shares the axis. */
  #centrePlan(): void {
    const middle = planMiddle(this.#now.footing);
    const planCentre = planDown(this.view, middle);
    const centre = this.level ? this.axis.centre : planAcross(this.view, middle);
    this.axis = { ...this.axis, centre, planCentre };
  }

  setView(view: View): void {
    this.#chosen = true;
    this.view = view;
    this.whole();
  }

  /** The view that a draft opens with; a view that the person has chosen stays. */
  open(view: 'front' | 'side'): void {
    if (this.#chosen || view === this.view) return;
    this.view = view;
    this.#extent = null;
    this.#changed();
  }

  /** Shows everything again. */
  whole(): void {
    this.#placed = false;
    this.#pictureMoved = WHOLE_PICTURE;
    this.#fit();
    this.#changed();
  }

  /** Moves what is seen by CSS pixels. */
  panBy(dx: number, dy: number): void {
    this.#placed = true;
    if (this.view === 'picture') {
      const { zoom, away } = this.#pictureMoved;
      this.#pictureMoved = { zoom, away: [away[0] + dx, away[1] + dy] };
    } else if (this.view === 'orbit') {
      const { right, up, scaleAt } = this.eye;
      const metres = 1 / scaleAt(this.orbit.target);
      const moved = add(this.orbit.target, scale(right, -dx * metres));
      this.orbit = { ...this.orbit, target: add(moved, scale(up, dy * metres)) };
    } else {
      const { axis } = this;
      this.axis = {
        ...axis,
        centre: axis.centre - dx / axis.scale,
        low: axis.low + dy / axis.scale,
      };
    }
    this.#changed();
  }

  /** Moves the plan up or down by CSS pixels, and both drawings sideways. */
  panPlanBy(dx: number, dy: number): void {
    this.#placed = true;
    const { axis } = this;
    this.axis = {
      ...axis,
      centre: axis.centre - dx / axis.scale,
      planCentre: axis.planCentre - dy / axis.scale,
    };
    this.#changed();
  }

  /** Turns the free camera by CSS pixels of a drag. */
  turnBy(dx: number, dy: number): void {
    const { orbit } = this;
    this.orbit = {
      ...orbit,
      yaw: orbit.yaw - dx * TURN_PER_PIXEL,
      pitch: within(orbit.pitch + dy * TURN_PER_PIXEL, [-0.2, 1.55]),
    };
    this.#changed();
  }

  /** Zooms by a factor about (x, y) CSS pixels of the elevation. */
  zoomAt(factor: number, x = this.axis.width / 2, y = this.height / 2): void {
    this.#placed = true;
    const { axis, orbit } = this;
    if (this.view === 'picture') this.#zoomPicture(factor, x, y);
    else if (this.view === 'orbit') {
      this.orbit = { ...orbit, distance: within(orbit.distance / factor, DISTANCE_RANGE) };
    } else {
      const perMetre = within(axis.scale * factor, SCALE_RANGE);
      const [away, rise] = [x - axis.width / 2, this.height - y];
      this.axis = {
        ...axis,
        scale: perMetre,
        centre: axis.centre + away / axis.scale - away / perMetre,
        low: axis.low + rise / axis.scale - rise / perMetre,
      };
    }
    this.#changed();
  }

  #zoomPicture(factor: number, x: number, y: number): void {
    const { zoom, away } = this.#pictureMoved;
    const next = within(zoom * factor, PICTURE_ZOOM);
    const [fromX, fromY] = [x - this.axis.width / 2, y - this.height / 2];
    const move = (from: number, moved: number): number => from + ((moved - from) * next) / zoom;
    this.#pictureMoved = { zoom: next, away: [move(fromX, away[0]), move(fromY, away[1])] };
  }

  #fit(): void {
    if (this.#extent === null || !this.ready) return;
    const size = { width: this.axis.width, elevation: this.height, plan: this.planHeight };
    const { footing } = this.#now;
    const whole = fitAxis(this.view, { ...this.#extent, footing }, size);
    const near = fitAxis(this.view, this.#now, size);
    this.#follows = whole.scale < SMALLEST_SHARE * near.scale;
    this.axis = this.#follows ? near : whole;
    const orbit = fitOrbit(this.#follows ? this.#now : this.#extent);
    this.orbit = { ...orbit, yaw: this.orbit.yaw, pitch: this.orbit.pitch };
    if (this.#follows) this.#follow();
    else if (!this.level) this.#centrePlan();
  }

  #follow(): void {
    const { heart } = this.#now;
    const centre = across(this.view, heart);
    const planCentre = planDown(this.view, [heart[0], heart[2]]);
    this.axis = { ...this.axis, centre, planCentre };
    const [x, , z] = heart;
    this.orbit = { ...this.orbit, target: [x, this.orbit.target[1], z] };
  }

  #changed(): void {
    this.#eye = null;
    this.#host.requestUpdate();
  }
}
