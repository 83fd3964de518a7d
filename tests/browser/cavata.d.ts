// What the scripts of the page share; `core.js` tells what it is.
interface Window {
  cavata: any;
  cavataData: any;
}
