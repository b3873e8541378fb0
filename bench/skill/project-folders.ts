/** Where the project keeps its recorded fermentations. */
import { join } from 'node:path'

const RECORDED = join(import.meta.dirname, '../../test/published/data/recorded')
export const HISTORIC = RECORDED
export const MODERN = join(RECORDED, 'modern')
export const PROJECT_FOLDERS = [HISTORIC, MODERN]
