/** Why a cause of error is not part of the intervals, in plain words. */
export const uncertaintyReasons = {
  noRigForVertical: () => 'the points came as 3D coordinates: nothing says how well their vertical is known',
  noRigForCalibration: () => 'the points came as 3D coordinates: nothing says how well their cameras were calibrated',
  noClocks: () => 'the points came as 3D coordinates on one clock',
  verticalNotStated: () =>
    'the rig does not say how well its vertical is known; calibrate with "--up", "--plumb" or "--fall"',
  calibrationNotStated: () => 'the rig holds no covariance of its cameras; rigs made by "kneeward calibrate rig" do',
  unknownInDraws: (known: number, draws: number) => `known in ${known} of ${draws} draws only`,
  unmoved: () =>
    'it stands at its limit, and no error that was tried moves it from there: how far the truth may be is not told by that',
  noInterval: () => 'a draw leaves the number unknown too often for an interval',
  differenceWithoutInterval: () => 'difference without an interval in one of the two',
  unknownInOther: () => 'the other recording does not know this measure',
  noVariance: () => 'every draw gives the same number: there is no doubt to share out',
  switchedOff: () => 'intervals were switched off',
};
