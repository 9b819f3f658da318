export { type EventTime, type FootEvents, walkEvents } from './walk-events.js';
