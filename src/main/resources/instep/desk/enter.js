'use strict';
// A screen without a keyboard is led here with the token after the sign #, which no browser sends to anybody by itself.
// One with a sign % of its own that nobody has written as %25 is meant as it stands.
function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch (e) {
    return text;
  }
}
document.getElementById('to').value = location.pathname;
if (location.hash.length > 1) {
  document.getElementById('token').value = decoded(location.hash.slice(1));
  history.replaceState(null, '', location.pathname);
  document.getElementById('enter').submit();
}
