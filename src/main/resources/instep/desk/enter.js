'use strict';
// A screen without a keyboard is led here with the token after the sign #, which no browser sends to anybody by itself.
document.getElementById('to').value = location.pathname;
if (location.hash.length > 1) {
  document.getElementById('token').value = decodeURIComponent(location.hash.slice(1));
  history.replaceState(null, '', location.pathname);
  document.getElementById('enter').submit();
}
