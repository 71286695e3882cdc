// Takes the pictures of docs/shots from the demo house: make shots
import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

process.env.COMBLINE = 'bin/combline'
const { browse, serve, sizes } = await import('../internal/web/browser/lib.mjs')

const pictures = [
  ['today', '/', 'tablet'],
  ['today-upright', '/', 'upright'],
  ['stock', '/stock', 'office'],
  ['vessel', '/vessel?of=D017', 'tablet'],
  ['trace', '/trace?of=R1', 'tablet'],
  ['intake', '/intake', 'upright'],
  ['sites', '/sites', 'tablet'],
  ['holds', '/holds', 'office'],
  ['balance', '/balance', 'office'],
]

const house = mkdtempSync(join(tmpdir(), 'combline-shots-'))
execFileSync(process.env.COMBLINE, ['demo', house, '--no-pages'], { stdio: 'inherit' })
mkdirSync('docs/shots', { recursive: true })
const server = await serve(house)
const browser = await browse()
try {
  for (const [name, path, size] of pictures) {
    const page = await browser.newPage({ viewport: sizes[size] })
    const answer = await page.goto(server.url + path)
    if (!answer.ok()) throw new Error(`${path}: ${answer.status()}`)
    await page.evaluate(() => document.fonts.ready)
    await page.screenshot({ path: `docs/shots/${name}.png` })
    await page.close()
  }
} finally {
  await browser.close()
  await server.stop()
  rmSync(house, { recursive: true, force: true })
}
