// Rules of html-validate for the page: its recommended preset, and what of it is off and why.
export const html_rules = {
  root: true,
  extends: ['html-validate:recommended'],
  rules: {},
};
