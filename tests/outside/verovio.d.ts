// The parts of a reader of MusicXML that comes without types, as far as they are used here.
declare module 'verovio/wasm' {
  const createModule: () => Promise<unknown>;
  export default createModule;
}
declare module 'verovio/esm' {
  export const VerovioToolkit: new (module: unknown) => unknown;
  export const enableLog: (level: number, module: unknown) => void;
}
