/** The texts of live updates and of long work, in English. */
export const work = {
  live: {
    lost: 'Not live: what others do is not shown for now. Trying to reach the service …',
    resting: 'Resting: nobody has used this page for a while. Touch it, and it is live again.',
    heldBack: 'Others have changed something here. It waits, so that what you typed is not lost.',
    show: 'Show it now',
    changedSince: 'Something was recorded since this was asked.',
    askAgain: 'Ask again',
  },
};
