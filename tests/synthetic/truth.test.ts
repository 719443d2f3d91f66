import { describe, test } from '@jest/globals';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { expectClose } from '../expect-close.ts';
import { ABOVE_HIPS, type Body, centreOfMass, particleSet } from './bodies.ts';
import { DEMO_RECORDINGS, liftOf } from './demo.ts';
import type { VirtualLift } from './lift.ts';
import type { Posture } from './posture.ts';
import { loadsAt } from './truth.ts';
import type { Vector } from './vector.ts';

const G = GRAVITY_M_PER_S2;
const outside = liftOf(DEMO_RECORDINGS[0], 'outside');
const inside = liftOf(DEMO_RECORDINGS[0], 'inside');
const TIMES = [0.3, 1.4, 2.1, 2.55, 3.1, 3.6];

/**
 * A rod that swings on a pivot which itself is shaken forward and back: θ = 0.5 + 0.4 sin 3t from the vertical, pivot at
 * x = 0.2 sin 5t. Moment at the pivot by hand (Lagrange): I_P θ'' about +Z is −(I θ'' + m L x'' cos θ − m g L sin θ).
 */
test('a swinging rod on a shaken pivot: moment, gravity part and support force as in closed form', () => {
  const [m, length, radius] = [7, 0.6, 0.2];
  const theta = (t: number) => 0.5 + 0.4 * Math.sin(3 * t);
  const bodyAt = (t: number): Body => {
    const along: Vector = [Math.sin(theta(t)), Math.cos(theta(t)), 0];
    const centre: Vector = [0.2 * Math.sin(5 * t) + length * along[0], 1 + length * along[1], 0];
    const axes: Body['axes'] = [along, [0, 0, 1], [along[1], -along[0], 0]];
    return { name: 'rod', level: ABOVE_HIPS, paired: false, massKg: m, centre, axes, spans: [radius, 0, 0] };
  };
  const postureAt = (t: number) => {
    const pivot: Vector = [0.2 * Math.sin(5 * t), 1, 0];
    return { legs: { midHip: pivot, knee: pivot, ankle: pivot }, bodies: [bodyAt(t)] } as unknown as Posture;
  };
  const rod: VirtualLift = { ...inside, particles: particleSet([bodyAt(0)]), postureAt };
  for (const t of [0.1, 0.7, 1.3]) {
    const angle = theta(t);
    const rate = 1.2 * Math.cos(3 * t);
    const acceleration = -3.6 * Math.sin(3 * t);
    const shake = -5 * Math.sin(5 * t);
    const gravity = m * G * length * Math.sin(angle);
    const expected = gravity - (m * (length ** 2 + radius ** 2) * acceleration + m * length * shake * Math.cos(angle));
    const found = loadsAt(rod, t);
    expectClose(found.hip.gravity, gravity, 1e-10, 'gravity part');
    // 2e-7 N·m: rounding of positions (1e-16 m) differenced twice with 2 ms steps.
    expectClose(found.hip.total, expected, 2e-7, 'moment');
    expectClose(found.knee.total, -expected, 2e-7, 'same cut, knee sign');
    const forward = shake + length * (acceleration * Math.cos(angle) - rate ** 2 * Math.sin(angle));
    const up = G + length * (-acceleration * Math.sin(angle) - rate ** 2 * Math.cos(angle));
    expectClose(found.groundForce[0], m * forward, 2e-7, 'force forward');
    expectClose(found.groundForce[1], m * up, 2e-7, 'force up');
  }
});

describe.each([
  ['inside', inside],
  ['outside', outside],
] as const)('%s', (_world, lift) => {
  test('the ground carries mass times (acceleration of the centre of mass − g)', () => {
    const mass = lift.particles.massKg.reduce((sum, m) => sum + m, 0);
    const h = 1e-3;
    for (const t of TIMES) {
      const at = (s: number) => centreOfMass(lift.postureAt(s).bodies);
      const [before, here, after] = [at(t - h), at(t), at(t + h)];
      const { groundForce } = loadsAt(lift, t);
      for (const axis of [0, 1] as const) {
        const acceleration = (after[axis] - 2 * here[axis] + before[axis]) / h ** 2;
        // The three-point difference is off by h²/12 · x'''', x'''' up to about 500 m/s⁴: 4e-5 m/s², 5 mN at 123 kg.
        expectClose(groundForce[axis], mass * (acceleration + (axis === 1 ? G : 0)), 0.01, `axis ${axis}, t ${t}`);
      }
      expectClose(groundForce[2], 0, 1e-6, 'sideways');
    }
  });

  test('from below: ground force and weight of the feet give the ankle moment back', () => {
    for (const t of TIMES) {
      const { groundForce, centreOfPressure, ankle } = loadsAt(lift, t);
      const { legs, bodies } = lift.postureAt(t);
      const foot = bodies.find(({ name }) => name === 'foot')!;
      // The feet stand still: moments about the mid-ankle of ground force and weight are what the ankles must balance.
      const moment =
        (centreOfPressure[0] - legs.ankle[0]) * groundForce[1] -
        (0 - legs.ankle[1]) * groundForce[0] -
        (foot.centre[0] - legs.ankle[0]) * 2 * foot.massKg * G;
      expectClose(ankle.total, moment, 1e-5, `t ${t}`);
    }
  });

  test('moments do not depend on the step of the differences', () => {
    for (const t of TIMES) {
      const fine = loadsAt(lift, t, 1e-3);
      const coarse = loadsAt(lift, t, 4e-3);
      for (const joint of ['hip', 'knee', 'ankle'] as const) {
        // Eighth order on a motion of about 5 s⁻¹: (5 · 0.004)^8 is nothing; what is left are the knots of the course.
        expectClose(coarse[joint].total, fine[joint].total, 0.01, `${joint}, t ${t}`);
      }
    }
  });

  test('standing nearly still, the centre of pressure lies under the centre of mass', () => {
    const { centreOfPressure } = loadsAt(lift, 0.1);
    expectClose(centreOfPressure[0], centreOfMass(lift.postureAt(0.1).bodies)[0], 0.005, 'forward');
  });

  test('the statics: hip and knee gravity moments by hand from the bodies', () => {
    const t = 2.1;
    const { legs, bodies } = lift.postureAt(t);
    const about = (x: number, names: (name: string) => boolean) =>
      bodies
        .filter(({ name }) => names(name))
        .reduce((sum, body) => sum + (body.paired ? 2 : 1) * body.massKg * G * (body.centre[0] - x), 0);
    const isLeg = (name: string) => name === 'thigh' || name === 'shank' || name === 'foot';
    const { hip, knee } = loadsAt(lift, t);
    expectClose(
      hip.gravity,
      about(legs.hip[0], (name) => !isLeg(name)),
      1e-9,
      'hip',
    );
    expectClose(knee.gravity, -about(legs.knee[0], (name) => !isLeg(name) || name === 'thigh'), 1e-9, 'knee');
  });
});
