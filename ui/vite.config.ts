import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vitest/config'

// Only index.html is built. gallery.html is served by `npm run gallery` in development and is never shipped.
export default defineConfig({
  plugins: [svelte()],
  base: './',
  build: {
    target: ['chrome123', 'safari17.5'],
    // The content security policy of the window has no `font-src data:`, so fonts stay files of their own.
    assetsInlineLimit: 0,
    sourcemap: false,
  },
  server: { host: '127.0.0.1', strictPort: true },
  resolve: process.env.VITEST ? { conditions: ['browser'] } : {},
  test: { environment: 'happy-dom', include: ['src/**/*.test.ts'], css: true },
})
