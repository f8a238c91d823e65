/** The texts about pictures, in English. */
export const pictures = {
  take: 'Take a photo',
  another: 'One more photo',
  hint: (most: number) =>
    `At most ${most}. They are scaled down; where they were taken is not kept.`,
  taken: (n: number) => `photo ${n}`,
  remove: 'Take it out',
  unread: 'That file is no picture that this phone can read. Take it again.',
  count: (count: number) => (count === 1 ? '1 photo' : `${count} photos`),
};
