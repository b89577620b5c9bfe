import { defineConfig } from "vite";

// One entry with a fixed name, so that the page can name it; what is loaded on demand carries a hash.
export default defineConfig({
  base: "/static/page/",
  publicDir: false,
  build: {
    outDir: "../src/backseam/app/static/page",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: false,
    chunkSizeWarningLimit: 900,
    rolldownOptions: {
      input: "src/main.ts",
      output: { entryFileNames: "job.js", chunkFileNames: "[name]-[hash].js", assetFileNames: "[name]-[hash][extname]" },
    },
  },
});
