/** A process with a cellar that takes a moment to close, and a fault that nobody has foreseen: thrown, or a promise rejected. */
import { lastResort } from '../cellar/last-resort.ts'

const close = async () => {
  await new Promise(resolve => setTimeout(resolve, 50))
  process.stdout.write('closed')
}
lastResort(close, { err: text => void process.stderr.write(text) })
setInterval(() => undefined, 1000)
const fault = () => {
  throw new Error('nobody has foreseen this')
}
if (process.argv[2] === 'rejected') void Promise.resolve().then(fault)
else setImmediate(fault)
