export { loadDocument } from './load-document.js';
export { saveFile } from './save-file.js';
