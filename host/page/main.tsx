import { render } from 'preact';

const Page = () => (
  <main>
    <h1>Elbowroom</h1>
    <p>How much room is left, and is it shrinking?</p>
  </main>
);

const place = document.getElementById('page');
if (place) render(<Page />, place);
