import type { ContactPoint, Group } from '../../core/balance/region/index.ts';
import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import file from '../fixtures/equilibrium-cases.json' with { type: 'json' };

/** A static scene of `equilibrium-cases.json`, turned to y up. */
export interface StaticCase {
  readonly id: string;
  readonly weight_N: number;
  readonly centre: Vec3;
  readonly contacts: readonly ContactPoint[];
  readonly expected: {
    readonly feasible: boolean;
    readonly signedMargin_m: number;
    /** Support function of the region at 0, 5, ..., 355 degrees; use `supportDirection`. */
    readonly support: {
      exact: readonly number[];
      four: readonly number[];
      eight: readonly number[];
    };
    readonly area: readonly [number, number];
    readonly loads_N: Readonly<Record<string, { vertical: number[]; normal: number[] }>>;
    readonly tilt: {
      readonly directions: readonly Vec2[];
      readonly tangents: readonly number[];
    } | null;
    readonly frictionScale: number | null;
    readonly equalSpring_N: Readonly<Record<string, number>>;
  };
  readonly tolerance: {
    readonly support_m: number;
    readonly loads_N: number;
    readonly tilt: number;
    readonly frictionScale: number;
    readonly signedMargin_m: number;
  };
}

/** (x, y, z) with z up is (x, z, -y) with y up. */
export const toYUp = (p: readonly number[]): Vec3 => [p[0]!, p[2]!, -p[1]!];

/** A direction of the file, degrees from +x towards +y there, as plan direction here. */
export function planOf(degrees: number): Vec2 {
  const a = (degrees * Math.PI) / 180;
  return [Math.cos(a), -Math.sin(a)];
}

// biome-ignore lint/suspicious/noExplicitAny: the cases differ in their fields; they are read below
const raw = file.cases as any[];

export const caseById = (id: string) => raw.find((c) => c.id === id)!;

/** All static scenes of one body. */
export const STATIC_CASES: readonly StaticCase[] = raw
  .filter((c) => c.kind === 'static' && c.bodies.length === 1)
  .map((c): StaticCase => {
    const { expected } = c;
    const tilt = expected.gravityTilt_tan;
    return {
      id: c.id,
      weight_N: c.bodies[0].mass * c.g,
      centre: toYUp(c.bodies[0].cg),
      contacts: contactsOf(c),
      expected: {
        feasible: expected.feasible,
        signedMargin_m: expected.signedMargin_m,
        support: {
          exact: expected.region.supportExactCone_m,
          four: expected.region.support4EdgeInner_m,
          eight: expected.region.support8EdgeInner_m,
        },
        area: expected.region.areaBracket_m2,
        loads_N: expected.loads_N ?? {},
        tilt: tilt ? { directions: tilt.dirsDeg.map(planOf), tangents: tilt.value } : null,
        frictionScale: expected.frictionScale ?? null,
        equalSpring_N: expected.equalSpringShares_N ?? {},
      },
      tolerance: c.tolerance,
    };
  });

// biome-ignore lint/suspicious/noExplicitAny: as above
function contactsOf(c: any): (ContactPoint & { on: string })[] {
  // biome-ignore lint/suspicious/noExplicitAny: as above
  const pressing = c.contacts.filter((k: any) => k.type === 'unilateral');
  // biome-ignore lint/suspicious/noExplicitAny: as above
  return pressing.flatMap((k: any) =>
    k.points.map((p: number[]) => ({
      on: k.a,
      point: toYUp(p),
      normal: toYUp(k.normal),
      friction: k.mu,
      patch: k.id,
    })),
  );
}

/** Case o14, two figures holding hands, as a group. */
export function counterbalance(): Group {
  const c = caseById('o14-counterbalance-pair');
  // biome-ignore lint/suspicious/noExplicitAny: as above
  const hands = c.contacts.find((k: any) => k.type === 'grip');
  return {
    // biome-ignore lint/suspicious/noExplicitAny: as above
    bodies: c.bodies.map((b: any) => ({ id: b.id, mass_kg: b.mass, centre: toYUp(b.cg) })),
    contacts: contactsOf(c),
    grips: [{ id: 'hands', point: toYUp(hands.points[0]), between: [hands.a, hands.b] }],
  };
}
