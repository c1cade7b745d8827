// The package has no types of its own.
declare module 'verovio/wasm';
declare module 'verovio/esm';
