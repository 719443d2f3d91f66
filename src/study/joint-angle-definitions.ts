import type { QuantityEntry } from './quantity-entry.ts';

const SIDED = (quantity: string, definition: string): QuantityEntry => ({
  quantity,
  unit: 'deg',
  sides: ['left', 'right'],
  definition,
});
const WHOLE = (quantity: string, definition: string): QuantityEntry => ({
  quantity,
  unit: 'deg',
  sides: [null],
  definition,
});

/** Joint angles (docs/method/angles.md). Equal in a mirrored lift where they have a side; to the right or left where they have none. */
export const JOINT_ANGLE_QUANTITIES: readonly QuantityEntry[] = [
  SIDED(
    'hip_flexion',
    'Thigh against the pelvis about the pelvis’ sideways axis; knee forward and up positive. Needs the four markers of the pelvis; 0 = thigh square to the plane of ASIS and PSIS, which is itself tilted forward in standing.',
  ),
  SIDED(
    'hip_adduction',
    'Thigh against the line of the hips; knee towards the middle positive, outward (abduction) negative.',
  ),
  SIDED(
    'hip_rotation',
    'Turn of the thigh about its length against the pelvis; inward positive. By markers on the knee’s sides, else only where the knee is bent 30° or more.',
  ),
  SIDED(
    'trunk_thigh_flexion',
    'Thigh against the line mid-hip to mid-shoulder, about the line of the hips: what hip and back bend together; 0 = in line.',
  ),
  SIDED(
    'knee_adduction',
    'Shank against the thigh, foot towards the middle (varus) positive. Needs markers on both sides of the knee.',
  ),
  SIDED(
    'knee_rotation',
    'Turn of the shank about its length against the thigh, inward positive; with the twist of the shin bone in it. Needs markers on both sides of the ankle.',
  ),
  SIDED(
    'ankle_dorsiflexion',
    'Foot against the shank about the shank’s sideways axis; toes towards the shin positive, 0 = sole square to the shank. Points lie on the shoe: a constant offset of some degrees.',
  ),
  SIDED('ankle_inversion', 'Foot against the shank, sole turned towards the middle positive. Needs the small toe.'),
  SIDED('ankle_rotation', 'Turn of the foot against the shank about the foot’s upward axis, toes inward positive.'),
  SIDED(
    'shoulder_plane',
    'Plane in which the upper arm is raised against the trunk: 0 out to the side, 90 straight ahead. Empty within 20° of the trunk’s line.',
  ),
  SIDED(
    'shoulder_elevation',
    'Angle of the upper arm from the trunk’s line downward: 0 hanging, 90 square to the trunk.',
  ),
  SIDED(
    'shoulder_rotation',
    'Turn of the upper arm about its length, inward positive, in the sequence plane, elevation, rotation. Only where the elbow is bent 30° to 160°, or has markers on both sides.',
  ),
  SIDED('elbow_flexion', '180° less the angle shoulder, elbow, wrist in space; 0 = straight.'),
  WHOLE('pelvis_tilt', 'Pelvis against the lab, front down positive. Needs the four markers of the pelvis.'),
  WHOLE('pelvis_obliquity', 'Sideways lean of the pelvis (or of the line of the hips), right hip lower positive.'),
  WHOLE('pelvis_rotation', 'Turn of the pelvis (or of the line of the hips) about the vertical, to the left positive.'),
  WHOLE('spine_flexion', 'Trunk against the pelvis, forward positive. Needs the four markers of the pelvis.'),
  WHOLE('spine_side_bend', 'Trunk against the pelvis (or the line of the hips), to the right positive.'),
  WHOLE(
    'spine_rotation',
    'Turn of the trunk about its length against the pelvis (or the line of the hips), to the left positive.',
  ),
  WHOLE(
    'trunk_side_lean',
    'Sideways lean of the trunk against the lab, to the right positive. Its forward lean is trunk_lean.',
  ),
  WHOLE('trunk_rotation', 'Turn of the trunk about its length against the lab, to the left positive.'),
];
