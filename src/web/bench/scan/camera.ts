/** The phone's camera, pointed away from the person, and why it cannot be had. */

export type NoCamera = 'refused' | 'none' | 'busy' | 'reader';

/** Few browsers know a torch, and TypeScript's list of them does not. */
type WithTorch = MediaTrackCapabilities & { readonly torch?: boolean };

/** @throws DOMException of getUserMedia */
export const openCamera = (): Promise<MediaStream> =>
  navigator.mediaDevices.getUserMedia({
    video: { facingMode: 'environment', width: { ideal: 1280 }, height: { ideal: 720 } },
  });

/** W3C Media Capture and Streams, 10.2. */
export function whyNoCamera(failure: unknown): NoCamera {
  switch (failure instanceof DOMException ? failure.name : '') {
    case 'NotAllowedError':
    case 'SecurityError':
      return 'refused';
    case 'NotFoundError':
    case 'OverconstrainedError':
      return 'none';
    default:
      return 'busy';
  }
}

/** The light beside the camera, where its track has one. */
export const torchOf = (stream: MediaStream): MediaStreamTrack | undefined =>
  stream.getVideoTracks().find((track) => (track.getCapabilities() as WithTorch).torch === true);

export const setTorch = (track: MediaStreamTrack, on: boolean): Promise<void> =>
  track.applyConstraints({ advanced: [{ torch: on } as MediaTrackConstraintSet] });
