/* What the report says about pictures of the user's own video. */

export const stillsHeading = () => 'From the video';
export const stillDescription = (lifter: string, posture: string, camera: string) =>
  `Picture of lifter ${lifter} at ${place(posture)}, from camera ${camera}.`;
export const stillCaption = (posture: string, camera: string, timeS: number) =>
  `${posture === 'parallel' ? 'Parallel' : 'Bottom'}, camera ${camera}, ${timeS.toFixed(2)} s`;
export const personShown = () =>
  'These pictures show a person, face included. They are part of this file and go wherever it goes: hand it on only as the person shown has agreed to. They are there because the recording states consent.';
export const noStills = (reason: string) => `No pictures of the video: ${reason}.`;
const place = (posture: string) => (posture === 'parallel' ? 'parallel' : 'the bottom');
