import { join } from 'node:path'
import { describeStore } from '../testing/contract.ts'
import { openSqliteStore } from './open.ts'

describeStore('SQLite', folder => openSqliteStore(join(folder, 'cellar.db')))
