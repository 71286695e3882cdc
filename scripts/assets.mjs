// Puts the typeface and the bundled script where the program embeds them:
// node scripts/assets.mjs
import { build } from 'esbuild'
import { copyFile, mkdir } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const web = join(root, 'internal/web')
const built = join(web, 'asset/built')
const face = join(root, 'node_modules/@fontsource-variable/ibm-plex-sans')

await mkdir(built, { recursive: true })
for (const script of ['latin', 'latin-ext', 'cyrillic', 'greek']) {
  await copyFile(join(face, `files/ibm-plex-sans-${script}-standard-normal.woff2`), join(built, `plex-${script}.woff2`))
}
await copyFile(join(face, 'LICENSE'), join(built, 'OFL.txt'))

await build({
  entryPoints: [join(web, 'script/main.js')],
  outfile: join(built, 'combline.js'),
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  legalComments: 'none',
})
