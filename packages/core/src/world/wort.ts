import type { Beer } from '../beer/beer.ts'
import type { Draw } from '../random/draw.ts'

/**
 * The beer as it really is in one run: its original gravity is off by as much as the brewer says it may be. The apparent
 * attenuation is the yeast's affair, so the expected final gravity moves with it.
 */
export function drawWort(beer: Beer, draw: Draw): Beer {
  const { originalGravity: stated, originalGravitySd_SG = 0, finalGravity } = beer
  if (originalGravitySd_SG === 0) return beer
  const originalGravity = Math.max(1, stated + originalGravitySd_SG * draw.normal())
  const scale = stated > 1 ? (originalGravity - 1) / (stated - 1) : 1
  return {
    ...beer,
    originalGravity,
    finalGravity: { ...finalGravity, value: 1 + (finalGravity.value - 1) * scale },
  }
}
