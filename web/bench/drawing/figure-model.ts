import {
  BufferGeometry,
  type Color,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshLambertMaterial,
} from 'three';
import { type Body, SEGMENTS, type SegmentName } from '../../../core/body/index.ts';
import type { PosedFigure } from '../../../core/pose/index.ts';
import { bodyParts, faceLines } from './body-parts.ts';
import { inkOutline } from './ink.ts';
import type { Palette } from './palette.ts';

/** One figure's skins with their ink, built once for a body and moved with each pose. */
export class FigureModel {
  readonly group = new Group();
  /** Changes when another body has to be built. */
  readonly key: string;
  readonly #id: string;
  readonly #parts = new Map<SegmentName, { group: Group; fill: MeshLambertMaterial }>();
  readonly #plain: Color;

  constructor(id: string, body: Body, palette: Palette, pixels: number) {
    this.#id = id;
    this.key = JSON.stringify(body.spec);
    this.#plain = palette.figure;
    const ink = inkOutline(palette.ink, pixels);
    const skins = bodyParts(body);
    for (const segment of SEGMENTS) {
      const group = new Group();
      const fill = new MeshLambertMaterial({ color: palette.figure });
      for (const skin of skins[segment]) group.add(new Mesh(skin, fill), new Mesh(skin, ink));
      group.userData.picks = `segment/${id}/${segment}`;
      this.#parts.set(segment, { group, fill });
      this.group.add(group);
    }
    const face = new BufferGeometry();
    face.setAttribute(
      'position',
      new Float32BufferAttribute(faceLines(body.segments.head).flat(), 3),
    );
    const lines = new LineSegments(face, new LineBasicMaterial({ color: palette.ink }));
    this.#parts.get('head')?.group.add(lines);
  }

  pose(posed: PosedFigure): void {
    for (const [segment, { group }] of this.#parts) {
      const { position, rotation } = posed.segments[segment];
      group.position.set(...position);
      group.quaternion.set(...rotation);
    }
  }

  tint(tints: ReadonlyMap<string, Color>): void {
    for (const [segment, { fill }] of this.#parts) {
      fill.color.copy(tints.get(`${this.#id}/${segment}`) ?? this.#plain);
    }
  }
}
