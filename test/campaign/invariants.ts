export type Invariant = (typeof INVARIANTS)[number]['name']

/** What must hold at every step, whatever goes wrong and however much at once. */
export const INVARIANTS = [
  { name: 'never heat and cool', means: 'No physical vessel is heated and cooled at the same time.' },
  { name: 'compressor rests', means: 'A compressor rests between two runs, as its own contacts see it.' },
  { name: 'no heat unknown', means: 'Nothing heats on a temperature that nobody knows any more.' },
  { name: 'command within lease', means: "No command lasts beyond the cellar's clock and its lease." },
  { name: 'commands are obeyed', means: 'No appliance takes the present cellar for one of the past.' },
  { name: 'off after the end', means: 'What keeps a lease is off once it has heard nothing for that long.' },
  { name: 'kept within limits', means: 'Nothing drives a beer beyond the limits of its plan and goes on.' },
  { name: 'told in time', means: 'Each batch goes on, asks or rings within its bound.' },
  { name: 'heard or told', means: 'Readings that are acknowledged reach their batch, or somebody is told.' },
  {
    name: 'kept as acknowledged',
    means: 'Acknowledged readings and decisions are neither lost nor changed.',
  },
  { name: 'well only when it is', means: "'All is well' is said only when it is." },
  { name: 'nothing ends it', means: 'No request, reading or timer ends the process.' },
] as const
