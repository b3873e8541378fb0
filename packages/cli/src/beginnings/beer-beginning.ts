import { quoted } from '@attemper/core/source-text/quoted.ts'
import { type Beginning, YEAST_HABITS } from './beginning.ts'

/** The beer that `attemper new` writes. */
export function beerBeginning(beginning: Beginning): string {
  const { lowest_C, highest_C, pitch } = YEAST_HABITS[beginning.yeast]
  const { originalGravity, finalGravity } = beginning
  const attenuation = (originalGravity - finalGravity) / (originalGravity - 1)
  const percent = (share: number) => `${Math.round(Math.min(0.98, Math.max(0.3, share)) * 100)} %`
  return `# A beer: what is in the vessel, and who looks after it.
beer: ${quoted(beginning.name)}

# How much of it.
volume: ${beginning.volume_L} L

# Specific gravity at pitching.
original gravity: ${originalGravity.toFixed(3)}

# Where you expect it to end. How sure that is follows from the attenuation of the yeast, unless you write ± behind it.
final gravity: ${finalGravity.toFixed(3)}

# Temperature of the wort when you pitch, and how sure you are of that.
starts at: ${beginning.target_C} °C ± 1 °C

# When you pitch: local date and time.
start: ${beginning.start}

yeast:
  # Any name you like.
  name: House yeast
  # ale, lager, wheat, saison or kveik: where the model's numbers come from.
  class: ${beginning.yeast}
  # Temperatures at which it works well.
  comfort: { lowest: ${Math.min(lowest_C, beginning.target_C)} °C, highest: ${Math.max(highest_C, beginning.target_C)} °C }
  # Apparent attenuation that it is known to reach.
  attenuation: { lowest: ${percent(attenuation - 0.06)}, highest: ${percent(attenuation + 0.05)} }
  # Million cells for each mL and °P.
  pitch: ${pitch}
  # When you know the yeast from earlier batches, write how quick it is, such as: vigour: 1.1 ± 15 %

brewer:
  # How soon you usually answer a question while you are awake and at home.
  answers within: 3 h
  # When you are asleep and answer nothing.
  asleep: { from: "23:00", to: "07:00" }
  # Whether nobody is there on Saturday and Sunday.
  away at weekends: false
`
}
