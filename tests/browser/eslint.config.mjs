// Rules for the scripts of the page: those that eslint recommends, and a few that keep them even.
import { createRequire } from "node:module";

const require = createRequire(`${process.env.PAGE_TOOLS}/`);
const js = require("@eslint/js");
const globals = require("globals");

export default [
  {
    ...js.configs.recommended,
    files: ["**/*.js"],
    languageOptions: { ecmaVersion: 2022, sourceType: "script", globals: { ...globals.browser } },
    rules: {
      ...js.configs.recommended.rules,
      "eqeqeq": "error", "no-var": "error", "prefer-const": "error", "no-implicit-globals": "off",
      "no-redeclare": "off", "no-eval": "error", "no-implied-eval": "error", "no-script-url": "error",
      "strict": ["error", "global"], "no-unused-vars": ["error", { ignoreRestSiblings: true }],
      "no-restricted-syntax": ["error", {
        // Titles and names come from scripts; what is put into the page is text, or a picture by cavata.picture.
        selector: "MemberExpression[property.name=/^(innerHTML|outerHTML|insertAdjacentHTML|write|writeln)$/]",
        message: "put elements and texts into the page, not HTML",
      }],
    },
  },
];
