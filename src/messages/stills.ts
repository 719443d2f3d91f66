/** Why a report shows no pictures of the videos although they were asked for. */
export const stillsWithoutConsent = () =>
  'the recording asks for them with "stills: true" and does not state "consent: true", which says that the person filmed has agreed';
export const stillsWithoutRepetition = () => 'no repetition was found to take them from';
export const stillsWithoutVideo = () => 'no view of the recording names its video (views: video)';
