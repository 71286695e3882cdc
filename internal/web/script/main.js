// What makes the pages quicker. Every page reads and every form works without it.
import { howSheets } from './how.js'
import { keypad } from './keypad.js'
import { live } from './live.js'
import { sending } from './send.js'

howSheets()
keypad()
live()
sending()
