/** Words on the figures of a calibration: titles, subtitles, axis titles. */

export const residualVectorsTitle = (camera: string) => `Camera ${camera}: where points miss`;
export const residualVectorsSubtitle = (factor: number, shown: number, all: number) => [
  `lines drawn ${factor} times as long as the miss in the picture`,
  ...(shown < all ? [`every ${Math.ceil(all / shown)}th of ${all} points`] : []),
];

export const coverageTitle = (camera: string) => `Camera ${camera}: what was covered`;
export const coverageSubtitle = (filled: number, cells: number) => [
  `number of points in each field; ${filled} of ${cells} fields have some`,
];

export const fromAboveTitle = () => 'Cameras from above';
export const fromSideTitle = () => 'Cameras from the side';
export const planSubtitle = (figureM: number, barM: number) => [
  `blue: what each camera sees; dashed: the space that was covered`,
  `grey figure for scale: ${figureM} m tall, bar of ${barM} m`,
];
export const metreBar = () => '1 m';

export const viewResidualsTitle = () => 'How well each picture fits';
export const viewResidualsSubtitle = (shown: number, all: number) => [
  shown < all ? `the ${shown} of ${all} pictures that fit worst` : 'every picture that was used',
];
export const viewResidualsAxis = () => 'distance in the picture (px, root mean square)';
export const cameraWords = (camera: string) => `camera ${camera}`;

export const scaleTitle = () => 'What makes lengths unsure';
export const scaleSubtitle = () => ['each cause as a standard deviation; all together below'];
export const scaleAxis = () => 'part of every length (%)';
export const scaleTogether = () => 'all together';
