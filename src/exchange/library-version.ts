/** The library's own version, written into what it makes; a test holds it to the package's. */
export const LIBRARY_VERSION = '0.0.0';
